-- Where, what and by whom is taught. Weekdays are sets of bits, 1 << (weekday - 1) with Monday 1; dates are yyyy-MM-dd;
-- `*_minute` is a minute of the local day.

ALTER TABLE benches ADD COLUMN places INTEGER NOT NULL DEFAULT 8;            -- pieces that may lie and cure
ALTER TABLE benches ADD COLUMN etag TEXT NOT NULL DEFAULT '';

ALTER TABLE sites ADD COLUMN opening_days INTEGER NOT NULL DEFAULT 127;
ALTER TABLE sites ADD COLUMN morning_start_minute INTEGER NOT NULL DEFAULT 540;
ALTER TABLE sites ADD COLUMN morning_end_minute INTEGER NOT NULL DEFAULT 780;
ALTER TABLE sites ADD COLUMN afternoon_start_minute INTEGER NOT NULL DEFAULT 840;
ALTER TABLE sites ADD COLUMN afternoon_end_minute INTEGER NOT NULL DEFAULT 1080;

CREATE TABLE rooms (
    name         TEXT PRIMARY KEY,
    site         TEXT NOT NULL REFERENCES sites (name),
    display_name TEXT NOT NULL,
    seats        INTEGER NOT NULL,
    etag         TEXT NOT NULL
);

CREATE TABLE stations (
    name          TEXT PRIMARY KEY,
    site          TEXT NOT NULL REFERENCES sites (name),
    display_name  TEXT NOT NULL,
    kind          INTEGER NOT NULL,                     -- Station.Kind
    places        INTEGER NOT NULL,
    minutes_a_day INTEGER NOT NULL,
    etag          TEXT NOT NULL
);

CREATE TABLE outages (
    name     TEXT PRIMARY KEY,
    site     TEXT NOT NULL REFERENCES sites (name),
    station  TEXT REFERENCES stations (name),           -- station and bench both null: the site is closed
    bench    TEXT REFERENCES benches (name),
    start_ms INTEGER NOT NULL,
    end_ms   INTEGER NOT NULL,                          -- not included
    reason   TEXT NOT NULL
);
CREATE INDEX outages_by_site ON outages (site);
CREATE INDEX outages_by_station ON outages (station) WHERE station IS NOT NULL;

CREATE TABLE travel (
    site_a  TEXT NOT NULL REFERENCES sites (name),      -- the lesser name of the two
    site_b  TEXT NOT NULL REFERENCES sites (name),
    minutes INTEGER NOT NULL,                           -- door to door, either way
    PRIMARY KEY (site_a, site_b)
);

CREATE TABLE offerings (
    name                     TEXT PRIMARY KEY,
    studio                   TEXT NOT NULL REFERENCES studios (name),
    display_name             TEXT NOT NULL,
    resin_system             TEXT NOT NULL REFERENCES resin_systems (name),
    depth_mm                 REAL NOT NULL,             -- all layers together
    length_mm                REAL NOT NULL,             -- inside the mould
    width_mm                 REAL NOT NULL,
    wood_share               REAL NOT NULL,             -- of the mould's volume, 0 to 1
    channel_width_mm         REAL,
    layers                   TEXT NOT NULL,             -- JSON, see Offerings/LayersJson; [] for a single pour
    pieces_per_student       INTEGER NOT NULL,
    seats                    INTEGER NOT NULL,
    pour_minutes             INTEGER NOT NULL,
    machine_minutes          INTEGER NOT NULL,
    finish_minutes           INTEGER,                   -- these three are null together: no third day
    finish_after_ms          INTEGER,                   -- after the end of the machine day
    finish_within_days       INTEGER,                   -- local days after the machine day
    planer_minutes_per_piece INTEGER NOT NULL,
    saw_minutes_per_piece    INTEGER NOT NULL,
    longest_gap_days         INTEGER NOT NULL,          -- local days from pour to machine day
    seal_coat_g_per_m2       REAL NOT NULL,
    seal_coat_resin_system   TEXT REFERENCES resin_systems (name),  -- null: resin_system
    loss_share               REAL NOT NULL,             -- of the resin needed, 0 to 1
    mould_prep_days          INTEGER NOT NULL,          -- local days before the pour
    etag                     TEXT NOT NULL
);
CREATE INDEX offerings_by_studio ON offerings (studio);

CREATE TABLE instructors (
    name             TEXT PRIMARY KEY,
    studio           TEXT NOT NULL REFERENCES studios (name),
    display_name     TEXT NOT NULL,
    email            TEXT NOT NULL,                     -- empty for none
    home_site        TEXT NOT NULL REFERENCES sites (name),
    weekdays         INTEGER NOT NULL,
    days_a_week      INTEGER NOT NULL,
    farthest_minutes INTEGER NOT NULL,                  -- one way from home
    etag             TEXT NOT NULL
);
CREATE INDEX instructors_by_studio ON instructors (studio);

CREATE TABLE instructor_offerings (
    instructor TEXT NOT NULL REFERENCES instructors (name),
    position   INTEGER NOT NULL,                        -- order as given
    offering   TEXT NOT NULL REFERENCES offerings (name),
    PRIMARY KEY (instructor, position)
);

CREATE TABLE absences (
    name       TEXT PRIMARY KEY,
    instructor TEXT NOT NULL REFERENCES instructors (name),
    start_date TEXT NOT NULL,
    end_date   TEXT NOT NULL,                           -- the last day away
    reason     TEXT NOT NULL                            -- may be empty
);
CREATE INDEX absences_by_instructor ON absences (instructor);
