-- A notebook of version 1 with invented facts, written by the program when 1
-- was its version, as sqlite3 .dump shows it; the two pragmas are not in a
-- dump and were added by hand. Never made anew: it proves the upgrade.
PRAGMA application_id = 1886283623;
PRAGMA user_version = 1;
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE place (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES place (id),
    corrects        INTEGER REFERENCES place (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    name            TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    latitude_deg    REAL    NOT NULL CHECK (latitude_deg BETWEEN -90 AND 90),
    longitude_deg   REAL    NOT NULL CHECK (longitude_deg BETWEEN -180 AND 180),
    elevation_m     REAL    CHECK (elevation_m BETWEEN -430 AND 9000),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO place VALUES(1,X'0e5b0d30fda3b159906edc76c0654ef8',1,NULL,0,1790000000,'Old oak ride',51.5,-1.25,120.0,'');
INSERT INTO place VALUES(2,X'c86242509692cad88f8c1c19b27ab02f',2,NULL,0,1790000000,'Beech hanger',51.5,-1.25,120.0,'');
INSERT INTO place VALUES(3,X'a9cb99c919990d8a0a5eb2ea1d1fe52e',3,NULL,0,1790000000,'Entered by mistake',51.5,-1.25,120.0,'');
CREATE TABLE patch (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES patch (id),
    corrects        INTEGER REFERENCES patch (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    place           INTEGER NOT NULL REFERENCES place (id), -- an origin
    name            TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    latitude_deg    REAL    NOT NULL CHECK (latitude_deg BETWEEN -90 AND 90),
    longitude_deg   REAL    NOT NULL CHECK (longitude_deg BETWEEN -180 AND 180),
    elevation_m     REAL    CHECK (elevation_m BETWEEN -430 AND 9000),
    area_m2         REAL    CHECK (area_m2 > 0),
    texture         TEXT    NOT NULL DEFAULT '' CHECK (length(texture) <= 60),
    cover           TEXT    NOT NULL DEFAULT '' CHECK (length(cover) <= 60),
    hosts           TEXT    NOT NULL DEFAULT '' CHECK (length(hosts) <= 200),
    access          TEXT    NOT NULL DEFAULT '' CHECK (length(access) <= 1000),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO patch VALUES(1,X'da02d6ffbf85c4660033d7c962575f7f',1,NULL,0,1790000000,1,'Old oak ride',51.50099999999999767,-1.2509999999999998898,NULL,400.0,'loam','wood','beech, oak','','');
INSERT INTO patch VALUES(2,X'7f1834a7d8260c11e5d6465aad1ecf84',2,NULL,0,1790000000,2,'Beech hanger',51.50099999999999767,-1.2509999999999998898,NULL,400.0,'loam','wood','beech, oak','','');
INSERT INTO patch VALUES(3,X'38d89a86a42c11acf24ea19856fd2126',3,NULL,0,1790000000,3,'Entered by mistake',51.50099999999999767,-1.2509999999999998898,NULL,400.0,'loam','wood','beech, oak','','');
INSERT INTO patch VALUES(4,X'21518427fc932abc578e11fe4abff351',1,1,0,1790000060,1,'Old oak ride',51.50099999999999767,-1.2509999999999998898,NULL,650.0,'loam','wood','beech, oak','common land','north of the "ditch"; it''s wet – boots');
INSERT INTO patch VALUES(5,X'1c182d788063362697ba9110a61b6ffb',3,3,1,1790000120,3,'Entered by mistake',51.50099999999999767,-1.2509999999999998898,NULL,400.0,'loam','wood','beech, oak','','');
CREATE TABLE patch_kind (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES patch_kind (id),
    corrects        INTEGER REFERENCES patch_kind (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    patch           INTEGER NOT NULL REFERENCES patch (id), -- an origin
    kind            TEXT    NOT NULL CHECK (length(kind) BETWEEN 1 AND 60),
    productivity    REAL    CHECK (productivity > 0), -- 1 = as usual
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO patch_kind VALUES(1,X'6eb21fe4b2498632eab11dfe74ee8dcd',1,NULL,0,1790000000,1,'oak_bolete',1.5,'');
INSERT INTO patch_kind VALUES(2,X'a1714500f3255e8efcf410f53ec85cba',2,NULL,0,1790000000,2,'beech_nut',NULL,'two good trees');
CREATE TABLE visit (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES visit (id),
    corrects        INTEGER REFERENCES visit (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    patch           INTEGER NOT NULL REFERENCES patch (id), -- an origin
    day             INTEGER NOT NULL CHECK (day BETWEEN -25567 AND 84005),
    observer        TEXT    NOT NULL DEFAULT '' CHECK (length(observer) <= 200),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO visit VALUES(1,X'5109edbd00b3f368e0471fd800958d76',1,NULL,0,1790001000,1,20000,'','');
INSERT INTO visit VALUES(2,X'1340c23d0743aa4d686b39a816236aa0',2,NULL,0,1790001001,2,20009,'','');
INSERT INTO visit VALUES(3,X'6a40b975a594334406846a90295dc217',3,NULL,0,1790001002,1,20018,'','after the storm');
INSERT INTO visit VALUES(4,X'52ff03e97ad73b66585cc2f596475bd9',4,NULL,0,1790001003,2,20027,'R.','');
INSERT INTO visit VALUES(5,X'42b4f691df9bb6d39b47515ea9e91e5a',5,NULL,0,1790001004,1,20036,'','');
INSERT INTO visit VALUES(6,X'81d9792883a6dfc73ac74fcbf9197b2a',6,NULL,0,1790001005,2,20045,'','');
CREATE TABLE find (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES find (id),
    corrects        INTEGER REFERENCES find (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    visit           INTEGER NOT NULL REFERENCES visit (id), -- an origin
    kind            TEXT    NOT NULL CHECK (length(kind) BETWEEN 1 AND 60),
    count           INTEGER CHECK (count BETWEEN 0 AND 1000000000),
    fresh_g         REAL    CHECK (fresh_g BETWEEN 0 AND 1e9),
    stage           TEXT    NOT NULL DEFAULT '' CHECK (length(stage) <= 60),
    part            TEXT    NOT NULL DEFAULT '' CHECK (length(part) <= 60),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK (NOT (count = 0 AND coalesce(fresh_g, 0) > 0)),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO find VALUES(1,X'2a946f7aa6369d94a6fb6ac605e0f96c',1,NULL,0,1790001000,1,'oak_bolete',0,NULL,'button','','');
INSERT INTO find VALUES(2,X'9e5780c63c4c21de877bd2534fb9734a',2,NULL,0,1790001001,2,'oak_bolete',1,120.5,'button','','');
INSERT INTO find VALUES(3,X'ded01008bb3ebb8826b9f693ed064309',3,NULL,0,1790001001,2,'beech_nut',NULL,300.0,'','','');
INSERT INTO find VALUES(4,X'dfb5777b9f11c6c1e5db283c7e3e9c95',4,NULL,0,1790001002,3,'oak_bolete',2,241.0,'button','','');
INSERT INTO find VALUES(5,X'4cecebfe96b68038992f236186bc766a',5,NULL,0,1790001003,4,'oak_bolete',3,361.5,'button','','');
INSERT INTO find VALUES(6,X'ee077d64f0553952a33699e922e17d68',6,NULL,0,1790001003,4,'beech_nut',NULL,300.0,'','','');
INSERT INTO find VALUES(7,X'27a0028262cb3ecced31aa6829d4c49f',7,NULL,0,1790001005,6,'oak_bolete',5,602.5,'button','','');
INSERT INTO find VALUES(8,X'02d6af3b2f57168a10d8340d045adc02',8,NULL,0,1790001005,6,'beech_nut',NULL,300.0,'','','');
INSERT INTO find VALUES(9,X'ae7b07bc10de69f54ca3924f16bfd936',2,2,0,1790005000,2,'oak_bolete',7,120.5,'button','','');
CREATE TABLE weather_source (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES weather_source (id),
    corrects        INTEGER REFERENCES weather_source (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    name            TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    latitude_deg    REAL    NOT NULL CHECK (latitude_deg BETWEEN -90 AND 90),
    longitude_deg   REAL    NOT NULL CHECK (longitude_deg BETWEEN -180 AND 180),
    elevation_m     REAL    NOT NULL CHECK (elevation_m BETWEEN -430 AND 9000),
    licence         TEXT    NOT NULL DEFAULT '' CHECK (length(licence) <= 1000),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO weather_source VALUES(1,X'2e399d2eff0e429b9a0c8155f96e566f',1,NULL,0,1790000000,'Invented station',51.39999999999999858,-0.8000000000000000444,73.0,'open','');
CREATE TABLE weather_import (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    source          INTEGER NOT NULL REFERENCES weather_source (id),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    file_names      TEXT    NOT NULL DEFAULT '',
    report          TEXT    NOT NULL DEFAULT ''
) STRICT;
INSERT INTO weather_import VALUES(1,1,1790006000,'a.csv','10 days');
INSERT INTO weather_import VALUES(2,1,1790006001,'b.csv','10 days');
CREATE TABLE weather_day (
    import          INTEGER NOT NULL REFERENCES weather_import (id),
    day             INTEGER NOT NULL CHECK (day BETWEEN -141427 AND 2932896),
    tmin_degc       REAL,
    tmax_degc       REAL,
    rain_mm         REAL,
    humidity_frac   REAL,
    wind_m_s        REAL,
    solar_mj_m2     REAL,
    sunshine_h      REAL,
    tmin_quality     INTEGER NOT NULL DEFAULT 0
                     CHECK (tmin_quality BETWEEN 0 AND 7),
    tmax_quality     INTEGER NOT NULL DEFAULT 0
                     CHECK (tmax_quality BETWEEN 0 AND 7),
    rain_quality     INTEGER NOT NULL DEFAULT 0
                     CHECK (rain_quality BETWEEN 0 AND 7),
    humidity_quality INTEGER NOT NULL DEFAULT 0
                     CHECK (humidity_quality BETWEEN 0 AND 7),
    wind_quality     INTEGER NOT NULL DEFAULT 0
                     CHECK (wind_quality BETWEEN 0 AND 7),
    solar_quality    INTEGER NOT NULL DEFAULT 0
                     CHECK (solar_quality BETWEEN 0 AND 7),
    sunshine_quality INTEGER NOT NULL DEFAULT 0
                     CHECK (sunshine_quality BETWEEN 0 AND 7),
    PRIMARY KEY (import, day)
) STRICT, WITHOUT ROWID;
INSERT INTO weather_day VALUES(1,20000,5.0,12.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20001,6.0,13.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20002,7.0,14.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20003,8.0,15.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,2,0,0,0,0);
INSERT INTO weather_day VALUES(1,20004,9.0,16.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20005,10.0,17.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20006,11.0,18.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20007,12.0,19.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20008,13.0,20.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20009,14.0,21.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20005,5.25,12.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20006,NULL,13.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20007,7.25,14.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20008,8.25,15.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,2,0,0,0,0);
INSERT INTO weather_day VALUES(2,20009,9.25,16.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20010,10.249999999999999999,17.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20011,11.25,18.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20012,12.25,19.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20013,13.25,20.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20014,14.249999999999999999,21.0,4.2000000000000001776,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
CREATE UNIQUE INDEX place_corrects ON place (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX patch_corrects ON patch (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX patch_kind_corrects ON patch_kind (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX visit_corrects ON visit (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX find_corrects ON find (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX weather_source_corrects ON weather_source (corrects)
    WHERE corrects IS NOT NULL;
CREATE INDEX place_origin ON place (origin);
CREATE INDEX patch_origin ON patch (origin);
CREATE INDEX patch_place ON patch (place);
CREATE INDEX patch_kind_origin ON patch_kind (origin);
CREATE INDEX patch_kind_patch ON patch_kind (patch);
CREATE INDEX visit_origin ON visit (origin);
CREATE INDEX visit_patch ON visit (patch);
CREATE INDEX find_visit ON find (visit);
CREATE INDEX weather_source_origin ON weather_source (origin);
CREATE INDEX find_origin ON find (origin) WHERE corrects IS NOT NULL;
CREATE INDEX visit_day ON visit (day);
CREATE INDEX find_kind ON find (kind);
CREATE INDEX weather_import_source ON weather_import (source);
CREATE VIEW place_last AS
    SELECT f.* FROM place AS f
    WHERE NOT EXISTS (SELECT 1 FROM place AS n WHERE n.corrects = f.id);
CREATE VIEW place_now AS
    SELECT f.* FROM place AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM place AS n WHERE n.corrects = f.id);
CREATE VIEW patch_last AS
    SELECT f.* FROM patch AS f
    WHERE NOT EXISTS (SELECT 1 FROM patch AS n WHERE n.corrects = f.id);
CREATE VIEW patch_now AS
    SELECT f.* FROM patch AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM patch AS n WHERE n.corrects = f.id)
      AND EXISTS (SELECT 1 FROM place_now AS p WHERE p.origin = f.place);
CREATE VIEW patch_kind_last AS
    SELECT f.* FROM patch_kind AS f
    WHERE NOT EXISTS (SELECT 1 FROM patch_kind AS n WHERE n.corrects = f.id);
CREATE VIEW patch_kind_now AS
    SELECT f.* FROM patch_kind AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM patch_kind AS n WHERE n.corrects = f.id)
      AND EXISTS (SELECT 1 FROM patch_now AS p WHERE p.origin = f.patch);
CREATE VIEW visit_last AS
    SELECT f.* FROM visit AS f
    WHERE NOT EXISTS (SELECT 1 FROM visit AS n WHERE n.corrects = f.id);
CREATE VIEW visit_now AS
    SELECT f.* FROM visit AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM visit AS n WHERE n.corrects = f.id)
      AND EXISTS (SELECT 1 FROM patch_now AS p WHERE p.origin = f.patch);
CREATE VIEW find_last AS
    SELECT f.* FROM find AS f
    WHERE NOT EXISTS (SELECT 1 FROM find AS n WHERE n.corrects = f.id);
CREATE VIEW find_now AS
    SELECT f.* FROM find AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM find AS n WHERE n.corrects = f.id)
      AND EXISTS (SELECT 1 FROM visit_now AS p WHERE p.origin = f.visit);
CREATE VIEW weather_source_last AS
    SELECT f.* FROM weather_source AS f
    WHERE NOT EXISTS (SELECT 1 FROM weather_source AS n
                      WHERE n.corrects = f.id);
CREATE VIEW weather_source_now AS
    SELECT f.* FROM weather_source AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM weather_source AS n
                      WHERE n.corrects = f.id);
CREATE TRIGGER place_keeps BEFORE UPDATE ON place
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER place_stays BEFORE DELETE ON place
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER patch_keeps BEFORE UPDATE ON patch
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER patch_stays BEFORE DELETE ON patch
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER patch_kind_keeps BEFORE UPDATE ON patch_kind
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER patch_kind_stays BEFORE DELETE ON patch_kind
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER visit_keeps BEFORE UPDATE ON visit
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER visit_stays BEFORE DELETE ON visit
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER find_keeps BEFORE UPDATE ON find
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER find_stays BEFORE DELETE ON find
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER weather_source_keeps BEFORE UPDATE ON weather_source
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER weather_source_stays BEFORE DELETE ON weather_source
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER weather_import_keeps BEFORE UPDATE ON weather_import
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER weather_import_stays BEFORE DELETE ON weather_import
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER weather_day_keeps BEFORE UPDATE ON weather_day
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER weather_day_stays BEFORE DELETE ON weather_day
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER place_grows BEFORE INSERT ON place
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM place WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM place WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM place
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER patch_grows BEFORE INSERT ON patch
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM patch WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM patch WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM patch
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER patch_kind_grows BEFORE INSERT ON patch_kind
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM patch_kind WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM patch_kind WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM patch_kind
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER visit_grows BEFORE INSERT ON visit
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM visit WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM visit WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM visit
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER find_grows BEFORE INSERT ON find
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM find WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM find WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM find
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER weather_source_grows BEFORE INSERT ON weather_source
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM weather_source WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM weather_source WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM weather_source
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER weather_import_grows BEFORE INSERT ON weather_import
BEGIN
    SELECT RAISE (ABORT, 'imports are never rewritten')
    WHERE EXISTS (SELECT 1 FROM weather_import WHERE id = NEW.id);
END;
CREATE TRIGGER weather_day_grows BEFORE INSERT ON weather_day
BEGIN
    SELECT RAISE (ABORT, 'imports are never rewritten')
    WHERE EXISTS (SELECT 1 FROM weather_day
                  WHERE import = NEW.import AND day = NEW.day);
END;
COMMIT;
