-- A notebook of version 2 with invented facts, written by the program when 2
-- was its version, as sqlite3 .dump shows it; the two pragmas are not in a
-- dump and were added by hand. Never made anew: it proves the upgrade.
PRAGMA application_id = 1886283623;
PRAGMA user_version = 2;
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
INSERT INTO place VALUES(1,X'd3cb4dfc2a37fcdb77d7f6c767e4ba17',1,NULL,0,1795614310,'Great Wood',51.39069715819265127,-0.77617138442657551689,NULL,'');
INSERT INTO place VALUES(2,X'932c62fcfdfc915395ac9040e3af6580',2,NULL,0,1795614310,'Home ground',51.390682145972434113,-0.77473453281543780413,NULL,'');
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
INSERT INTO patch VALUES(1,X'a916f3e090ea12c858fd24281a828967',1,NULL,0,1795614310,1,'Old oak ride',51.39069715819265127,-0.77617138442657551689,NULL,NULL,'','broadleaf','','','');
INSERT INTO patch VALUES(2,X'52ef9489690fdee10a6eebafd8ce1273',2,NULL,0,1795614310,2,'Beech hanger',51.390682145972434113,-0.77473453281543780413,NULL,NULL,'','broadleaf','','','');
INSERT INTO patch VALUES(3,X'383ad32bb9ef4127ded5143c0b1f723b',3,NULL,0,1795614310,2,'Entered by mistake',51.390682145972434113,-0.77473453281543780413,NULL,NULL,'','','','','');
INSERT INTO patch VALUES(4,X'37221b0a216411937c4b3032ba50248a',1,1,0,1795614311,1,'Old oak ride',51.39069715819265127,-0.77617138442657551689,NULL,650.0,'','broadleaf','','','north of the "ditch"; it''s wet – boots');
INSERT INTO patch VALUES(5,X'c98d5b08ff381575d70cf89942f41398',3,3,1,1795614311,2,'Entered by mistake',51.390682145972434113,-0.77473453281543780413,NULL,NULL,'','','','','');
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
INSERT INTO patch_kind VALUES(1,X'5a6c5b49a4297bb3946c30f1cfa36af5',1,NULL,0,1795614310,1,'penny_bun',NULL,'');
INSERT INTO patch_kind VALUES(2,X'f71272618f699f0c28935b109786a84e',2,NULL,0,1795614310,1,'meadow_parasol',NULL,'');
INSERT INTO patch_kind VALUES(3,X'b1cc8da3cba94541130d62c7fb1041db',3,NULL,0,1795614310,2,'chanterelle',NULL,'');
INSERT INTO patch_kind VALUES(4,X'78dce96a8da102b311b37af7ee4093f7',4,NULL,0,1795614310,3,'chanterelle',NULL,'');
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
    minutes         REAL    CHECK (minutes > 0 AND minutes <= 1440),
    -- what was looked for: 'listed', the kinds among the finds; 'all', every
    -- kind of the patch, so that one not among the finds was not there
    looked_for      TEXT    NOT NULL DEFAULT 'listed'
                            CHECK (looked_for IN ('listed', 'all')),
    observer        TEXT    NOT NULL DEFAULT '' CHECK (length(observer) <= 200),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;
INSERT INTO visit VALUES(1,X'6ab98f44409c11502851d044ce6a939d',1,NULL,0,1795614311,1,20698,40.0,'all','','');
INSERT INTO visit VALUES(2,X'6860844f92279ef6ce6c0a3a927deb0d',2,NULL,0,1795614311,1,20699,NULL,'listed','','');
INSERT INTO visit VALUES(3,X'6c5c203a079791012509e3ecd212a8ab',3,NULL,0,1795614311,2,20699,NULL,'all','','');
INSERT INTO visit VALUES(4,X'40eb89c780febab022272b9189fc77e5',4,NULL,0,1795614311,2,20700,NULL,'all','','');
INSERT INTO visit VALUES(5,X'529317e419b6d3ae8c67c20b09161041',3,3,1,1795614311,2,20699,NULL,'all','','');
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
INSERT INTO find VALUES(1,X'c920bfec5130f1a54fecc153e6346ad6',1,NULL,0,1795614311,1,'meadow_parasol',3,400.0,'open','','');
INSERT INTO find VALUES(2,X'1876f5d9cbe958a9aacd33ce2985f9be',2,NULL,0,1795614311,1,'penny_bun',0,NULL,'','','');
INSERT INTO find VALUES(3,X'99a5ca5a20978b91a5b281c4c81f8090',3,NULL,0,1795614311,2,'penny_bun',2,600.0,'','','');
INSERT INTO find VALUES(4,X'394121daea07a51d886fa4d1c28d2e6b',4,NULL,0,1795614311,4,'chanterelle',NULL,NULL,'','','');
INSERT INTO find VALUES(5,X'16eb06c2004b794884eb316b406120a7',1,1,0,1795614311,1,'meadow_parasol',4,400.0,'open','','');
INSERT INTO find VALUES(6,X'3107a50dbaf7d22006ce8d96b2591825',3,3,0,1795614311,2,'bay_bolete',2,600.0,'','','');
INSERT INTO find VALUES(7,X'cab95a2a5aa796df913d834ad7d230f5',4,4,1,1795614311,4,'chanterelle',NULL,NULL,'','','');
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
INSERT INTO weather_source VALUES(1,X'92d696f9b24add0707f0e212bdeed3b9',1,NULL,0,1795614311,'Station',51.400000000000005684,-0.8000000000000000444,73.0,'','');
CREATE TABLE weather_import (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    source          INTEGER NOT NULL REFERENCES weather_source (id),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    -- 1: a forecast, kept apart from what was measured
    forecast        INTEGER NOT NULL DEFAULT 0 CHECK (forecast IN (0, 1)),
    file_names      TEXT    NOT NULL DEFAULT '',
    report          TEXT    NOT NULL DEFAULT ''
) STRICT;
INSERT INTO weather_import VALUES(1,1,1795614311,0,'w.csv','');
INSERT INTO weather_import VALUES(2,1,1795614311,1,'fc.csv','');
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
INSERT INTO weather_day VALUES(1,20697,8.0,16.0,3.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20698,9.0,17.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(1,20699,7.0,15.0,12.5,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20700,8.0,16.0,3.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
INSERT INTO weather_day VALUES(2,20701,9.0,17.0,0.0,NULL,NULL,NULL,NULL,0,0,0,0,0,0,0);
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
