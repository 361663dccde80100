-- The notebook: one SQLite file. This text is the whole schema; embed.sh turns
-- it into schema_text.h, and a test proves that the two agree.
--
-- Two sorts of tables:
--   facts    what was written down. Rows are only ever added; the guards below
--            refuse to change or remove one. Kept for ever, migrated.
--   derived  what can be computed again from the facts, named derived_*;
--            dropped and rebuilt at will. There is none yet.
--
-- Every fact table begins with the same columns:
--   id        number of this row (one version of a fact), rising
--   uid       16 random bytes: the row's name in every notebook of the world,
--             so that notebooks can be put together
--   origin    id of the first version; other facts point to the origin
--   corrects  the row this one supersedes; NULL for a first version
--   retracted 1: "this never was"
--   recorded_unix_s  when it was written down, seconds since 1970 (UTC)
--
-- Units are in the names. Days count from 1970-01-01; date(day * 86400,
-- 'unixepoch') shows them. Text not known is '', numbers not known are NULL.

PRAGMA application_id = 1886283623; -- 0x706e6767, "pngg"
PRAGMA user_version = 3;

-- ---- facts ----------------------------------------------------------------

-- Somewhere one goes: a wood, a common, a lane. Positions are WGS84.
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

-- A spot of a place where something grows.
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

-- A kind one looks for at a patch.
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

-- Somebody was at a patch on a day, whether anything was found or not.
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

-- What a visit found of one kind; count 0: looked for and not found,
-- count NULL: found but not counted.
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

-- Where weather was measured, with what its licence asks us to say.
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

-- One reading-in of files of one source. Never corrected: a later import
-- supersedes an earlier one, value by value.
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

-- What one import says of one day. NULL: nothing about this value. The
-- quality is a sum of 2 (the archive doubts it) and 4 (the archive estimated
-- it); 0 = measured. Wind is at 2 m above the ground.
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

-- A row can be corrected once: two corrections of one row would be a fork.
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

-- From a fact to its versions, and from a fact to what points to it.
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

-- ---- since version 3 -------------------------------------------------------
-- migration_3.h holds this part word for word: a later version leaves both as
-- they are.

-- A session of the check: what was seen, and what was open on that day. It
-- can be played again with the guide of a later day.
CREATE TABLE check_session (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES check_session (id),
    corrects        INTEGER REFERENCES check_session (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    find            INTEGER REFERENCES find (id), -- an origin; NULL: none yet
    day             INTEGER NOT NULL CHECK (day BETWEEN -25567 AND 84005),
    kind            TEXT    NOT NULL DEFAULT '' -- the kind in mind, or ''
                            CHECK (length(kind) <= 60),
    tried           TEXT    NOT NULL DEFAULT '' -- the gate was tried on it
                            CHECK (length(tried) <= 60),
    month           INTEGER CHECK (month BETWEEN 1 AND 12),
    habitat         TEXT    NOT NULL DEFAULT '' CHECK (length(habitat) <= 60),
    host            TEXT    NOT NULL DEFAULT '' CHECK (length(host) <= 60),
    expert          INTEGER NOT NULL DEFAULT 0 CHECK (expert IN (0, 1)),
    -- one "feature=state" a line, as a saved session has them
    answers         TEXT    NOT NULL DEFAULT ''
                            CHECK (length(answers) <= 65536),
    open_count      INTEGER NOT NULL CHECK (open_count >= 0),
    -- dangerous kinds that could still be it, one a line
    not_ruled_out   TEXT    NOT NULL DEFAULT ''
                            CHECK (length(not_ruled_out) <= 65536),
    -- program and guide that said so
    guide           TEXT    NOT NULL DEFAULT '' CHECK (length(guide) <= 200),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;

-- A photo of a find, of a session, or of both.
CREATE TABLE photo (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES photo (id),
    corrects        INTEGER REFERENCES photo (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    find            INTEGER REFERENCES find (id), -- an origin
    check_session   INTEGER REFERENCES check_session (id), -- an origin
    file_name       TEXT    NOT NULL
                            CHECK (length(file_name) BETWEEN 1 AND 255),
    media_type      TEXT    NOT NULL CHECK (media_type IN
                            ('image/jpeg', 'image/png', 'image/webp')),
    sha256          BLOB    NOT NULL REFERENCES photo_bytes (sha256),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK (find IS NOT NULL OR check_session IS NOT NULL),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;

-- The bytes of photos as they came, each once, however often it is named.
CREATE TABLE photo_bytes (
    sha256          BLOB    NOT NULL PRIMARY KEY CHECK (length(sha256) = 32),
    bytes           BLOB    NOT NULL
                            CHECK (length(bytes) BETWEEN 1 AND 16777216)
) STRICT;

-- What came of a find, or of something kept before: a meal from a jar.
CREATE TABLE kept (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES kept (id),
    corrects        INTEGER REFERENCES kept (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    sort            TEXT    NOT NULL CHECK (sort IN ('jar', 'meal', 'other')),
    find            INTEGER REFERENCES find (id), -- an origin
    source          INTEGER REFERENCES kept (id), -- an origin
    -- the version of the find that it rests on: that of its day, or, from a
    -- jar, the version the jar rests on or was last found right against
    find_row        INTEGER NOT NULL REFERENCES find (id),
    name            TEXT    NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    day             INTEGER NOT NULL CHECK (day BETWEEN -25567 AND 84005),
    eaters          TEXT    NOT NULL DEFAULT '' CHECK (length(eaters) <= 1000),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((find IS NULL) <> (source IS NULL)),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;

-- Something kept was looked at again, after its find had become another kind
-- or was taken back.
CREATE TABLE review (
    id              INTEGER PRIMARY KEY CHECK (id >= 1),
    uid             BLOB    NOT NULL DEFAULT (randomblob(16))
                            CHECK (length(uid) = 16),
    origin          INTEGER NOT NULL REFERENCES review (id),
    corrects        INTEGER REFERENCES review (id),
    retracted       INTEGER NOT NULL DEFAULT 0 CHECK (retracted IN (0, 1)),
    recorded_unix_s INTEGER NOT NULL
                            CHECK (recorded_unix_s BETWEEN 0 AND 253402300799),
    kept            INTEGER NOT NULL REFERENCES kept (id), -- an origin
    find_row        INTEGER NOT NULL REFERENCES find (id), -- judged against it
    find_stood      INTEGER NOT NULL CHECK (find_stood IN (0, 1)),
    outcome         TEXT    NOT NULL CHECK (outcome IN
                            ('still_right', 'thrown_away', 'nobody_ill', 'ill',
                             'other')),
    note            TEXT    NOT NULL DEFAULT '' CHECK (length(note) <= 10000),
    CHECK ((corrects IS NULL AND origin = id AND retracted = 0) OR
           (corrects >= origin AND corrects < id))
) STRICT;

CREATE UNIQUE INDEX check_session_corrects ON check_session (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX photo_corrects ON photo (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX kept_corrects ON kept (corrects)
    WHERE corrects IS NOT NULL;
CREATE UNIQUE INDEX review_corrects ON review (corrects)
    WHERE corrects IS NOT NULL;
CREATE INDEX check_session_origin ON check_session (origin);
CREATE INDEX check_session_find ON check_session (find);
CREATE INDEX photo_origin ON photo (origin);
CREATE INDEX photo_find ON photo (find);
CREATE INDEX photo_check_session ON photo (check_session);
CREATE INDEX photo_sha256 ON photo (sha256);
CREATE INDEX kept_origin ON kept (origin);
CREATE INDEX kept_find ON kept (find);
CREATE INDEX kept_source ON kept (source);
CREATE INDEX review_origin ON review (origin);
CREATE INDEX review_kept ON review (kept);

-- ==== guards ================================================================
-- From here on nothing holds data: an upgrade drops and rebuilds it all.

-- The latest version of every fact (_last, retracted ones too), and what
-- stands now (_now): not retracted, and hanging on nothing retracted.
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

-- Sessions, photos and what was kept stay in the lists when their find is
-- taken back: then they matter most.
CREATE VIEW check_session_last AS
    SELECT f.* FROM check_session AS f
    WHERE NOT EXISTS (SELECT 1 FROM check_session AS n WHERE n.corrects = f.id);
CREATE VIEW check_session_now AS
    SELECT f.* FROM check_session AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM check_session AS n WHERE n.corrects = f.id);
CREATE VIEW photo_last AS
    SELECT f.* FROM photo AS f
    WHERE NOT EXISTS (SELECT 1 FROM photo AS n WHERE n.corrects = f.id);
CREATE VIEW photo_now AS
    SELECT f.* FROM photo AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM photo AS n WHERE n.corrects = f.id);
CREATE VIEW kept_last AS
    SELECT f.* FROM kept AS f
    WHERE NOT EXISTS (SELECT 1 FROM kept AS n WHERE n.corrects = f.id);
CREATE VIEW kept_now AS
    SELECT f.* FROM kept AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM kept AS n WHERE n.corrects = f.id);
CREATE VIEW review_last AS
    SELECT f.* FROM review AS f
    WHERE NOT EXISTS (SELECT 1 FROM review AS n WHERE n.corrects = f.id);
CREATE VIEW review_now AS
    SELECT f.* FROM review AS f
    WHERE f.retracted = 0
      AND NOT EXISTS (SELECT 1 FROM review AS n WHERE n.corrects = f.id)
      AND EXISTS (SELECT 1 FROM kept_now AS p WHERE p.origin = f.kept);

-- The find that something kept came from in the end, through its jars, also
-- through retracted ones; and the find's latest version.
CREATE VIEW kept_root AS
    WITH RECURSIVE up (kept, at) AS (
        SELECT origin, origin FROM kept_last
        UNION
        SELECT u.kept, k.source
        FROM up AS u JOIN kept_last AS k ON k.origin = u.at
        WHERE k.source IS NOT NULL)
    SELECT u.kept, k.find,
           coalesce((SELECT max(v.id) FROM find AS v
                     WHERE v.origin = k.find AND v.corrects IS NOT NULL),
                    k.find) AS last_row
    FROM up AS u JOIN kept_last AS k ON k.origin = u.at
    WHERE k.find IS NOT NULL;

-- rests_on: the version of that find which it rests on; 0 when it was said
-- since that it came from another find. stands: the find is still believed.
CREATE VIEW kept_basis AS
    SELECT k.origin AS kept, k.find_row, r.find, r.last_row,
           CASE WHEN b.origin = r.find THEN b.id ELSE 0 END AS rests_on,
           b.kind AS kind_then,
           EXISTS (SELECT 1 FROM find AS l
                   JOIN visit_now AS v ON v.origin = l.visit
                   WHERE l.id = r.last_row AND l.retracted = 0) AS stands
    FROM kept_now AS k
    JOIN kept_root AS r ON r.kept = k.origin
    JOIN find AS b ON b.id = k.find_row;

-- changed_row: the newest version at which the find became another kind, was
-- taken back or brought back, after the version that the record rests on.
CREATE VIEW kept_change AS
    SELECT b.*,
           CASE WHEN b.rests_on = 0 AND b.kind_then <>
                     (SELECT l.kind FROM find AS l WHERE l.id = b.last_row)
                THEN b.last_row
                ELSE (SELECT max(v.id) FROM find AS v
                      JOIN find AS p ON p.id = v.corrects
                      WHERE v.origin = b.find AND v.corrects IS NOT NULL
                        AND v.id > b.rests_on
                        AND (v.kind <> p.kind OR v.retracted <> p.retracted))
           END AS changed_row
    FROM kept_basis AS b;

-- What is up for review: changed, or no longer believed, and not yet looked at
-- against that version. A correction of the count alone brings nothing up.
CREATE VIEW review_due AS
    SELECT c.* FROM kept_change AS c
    WHERE (c.changed_row IS NOT NULL OR c.stands = 0)
      AND NOT EXISTS (
          SELECT 1 FROM review_now AS w JOIN find AS j ON j.id = w.find_row
          WHERE w.kept = c.kept AND j.origin = c.find
            AND j.id >= coalesce(c.changed_row, 0)
            AND (c.stands = 1 OR w.find_stood = 0));

-- Facts only grow: no row is changed, removed or (by INSERT OR REPLACE)
-- pushed out by another.
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
CREATE TRIGGER check_session_keeps BEFORE UPDATE ON check_session
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER check_session_stays BEFORE DELETE ON check_session
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER photo_keeps BEFORE UPDATE ON photo
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER photo_stays BEFORE DELETE ON photo
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER kept_keeps BEFORE UPDATE ON kept
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER kept_stays BEFORE DELETE ON kept
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER review_keeps BEFORE UPDATE ON review
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER review_stays BEFORE DELETE ON review
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER photo_bytes_keeps BEFORE UPDATE ON photo_bytes
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction');
END;
CREATE TRIGGER photo_bytes_stays BEFORE DELETE ON photo_bytes
BEGIN
    SELECT RAISE (ABORT, 'facts are never removed: add a retraction');
END;
CREATE TRIGGER check_session_grows BEFORE INSERT ON check_session
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM check_session WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM check_session WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM check_session
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER photo_grows BEFORE INSERT ON photo
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM photo WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM photo WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM photo
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER kept_grows BEFORE INSERT ON kept
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM kept WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM kept WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM kept
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER review_grows BEFORE INSERT ON review
BEGIN
    SELECT RAISE (ABORT, 'facts are never rewritten: add a correction')
    WHERE EXISTS (SELECT 1 FROM review WHERE id = NEW.id)
       OR EXISTS (SELECT 1 FROM review WHERE corrects = NEW.corrects);
    SELECT RAISE (ABORT, 'a correction must be of the same fact')
    WHERE NEW.corrects IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM review
                      WHERE id = NEW.corrects AND origin = NEW.origin);
END;
CREATE TRIGGER photo_bytes_grows BEFORE INSERT ON photo_bytes
BEGIN
    SELECT RAISE (ABORT, 'photos are never rewritten')
    WHERE EXISTS (SELECT 1 FROM photo_bytes WHERE sha256 = NEW.sha256);
END;
