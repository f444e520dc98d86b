-- What the columns hold is said in Sqlite/0008-places.sql.

ALTER TABLE benches ADD COLUMN places BIGINT NOT NULL DEFAULT 8;
ALTER TABLE benches ADD COLUMN etag TEXT NOT NULL DEFAULT '';

ALTER TABLE sites ADD COLUMN opening_days BIGINT NOT NULL DEFAULT 127;
ALTER TABLE sites ADD COLUMN morning_start_minute BIGINT NOT NULL DEFAULT 540;
ALTER TABLE sites ADD COLUMN morning_end_minute BIGINT NOT NULL DEFAULT 780;
ALTER TABLE sites ADD COLUMN afternoon_start_minute BIGINT NOT NULL DEFAULT 840;
ALTER TABLE sites ADD COLUMN afternoon_end_minute BIGINT NOT NULL DEFAULT 1080;

CREATE TABLE rooms (
    name TEXT PRIMARY KEY,
    site TEXT NOT NULL REFERENCES sites (name),
    display_name TEXT NOT NULL,
    seats BIGINT NOT NULL,
    etag TEXT NOT NULL
);

CREATE TABLE stations (
    name TEXT PRIMARY KEY,
    site TEXT NOT NULL REFERENCES sites (name),
    display_name TEXT NOT NULL,
    kind BIGINT NOT NULL,
    places BIGINT NOT NULL,
    minutes_a_day BIGINT NOT NULL,
    etag TEXT NOT NULL
);

CREATE TABLE outages (
    name TEXT PRIMARY KEY,
    site TEXT NOT NULL REFERENCES sites (name),
    station TEXT REFERENCES stations (name),
    bench TEXT REFERENCES benches (name),
    start_ms BIGINT NOT NULL,
    end_ms BIGINT NOT NULL,
    reason TEXT NOT NULL
);
CREATE INDEX outages_by_site ON outages (site);
CREATE INDEX outages_by_station ON outages (station) WHERE station IS NOT NULL;

CREATE TABLE travel (
    site_a TEXT NOT NULL REFERENCES sites (name),
    site_b TEXT NOT NULL REFERENCES sites (name),
    minutes BIGINT NOT NULL,
    PRIMARY KEY (site_a, site_b)
);

CREATE TABLE offerings (
    name TEXT PRIMARY KEY,
    studio TEXT NOT NULL REFERENCES studios (name),
    display_name TEXT NOT NULL,
    resin_system TEXT NOT NULL REFERENCES resin_systems (name),
    depth_mm DOUBLE PRECISION NOT NULL,
    length_mm DOUBLE PRECISION NOT NULL,
    width_mm DOUBLE PRECISION NOT NULL,
    wood_share DOUBLE PRECISION NOT NULL,
    channel_width_mm DOUBLE PRECISION,
    layers TEXT NOT NULL,
    pieces_per_student BIGINT NOT NULL,
    seats BIGINT NOT NULL,
    pour_minutes BIGINT NOT NULL,
    machine_minutes BIGINT NOT NULL,
    finish_minutes BIGINT,
    finish_after_ms BIGINT,
    finish_within_days BIGINT,
    planer_minutes_per_piece BIGINT NOT NULL,
    saw_minutes_per_piece BIGINT NOT NULL,
    longest_gap_days BIGINT NOT NULL,
    seal_coat_g_per_m2 DOUBLE PRECISION NOT NULL,
    seal_coat_resin_system TEXT REFERENCES resin_systems (name),
    loss_share DOUBLE PRECISION NOT NULL,
    mould_prep_days BIGINT NOT NULL,
    etag TEXT NOT NULL
);
CREATE INDEX offerings_by_studio ON offerings (studio);

CREATE TABLE instructors (
    name TEXT PRIMARY KEY,
    studio TEXT NOT NULL REFERENCES studios (name),
    display_name TEXT NOT NULL,
    email TEXT NOT NULL,
    home_site TEXT NOT NULL REFERENCES sites (name),
    weekdays BIGINT NOT NULL,
    days_a_week BIGINT NOT NULL,
    farthest_minutes BIGINT NOT NULL,
    etag TEXT NOT NULL
);
CREATE INDEX instructors_by_studio ON instructors (studio);

CREATE TABLE instructor_offerings (
    instructor TEXT NOT NULL REFERENCES instructors (name),
    position BIGINT NOT NULL,
    offering TEXT NOT NULL REFERENCES offerings (name),
    PRIMARY KEY (instructor, position)
);

CREATE TABLE absences (
    name TEXT PRIMARY KEY,
    instructor TEXT NOT NULL REFERENCES instructors (name),
    start_date TEXT NOT NULL,
    end_date TEXT NOT NULL,
    reason TEXT NOT NULL
);
CREATE INDEX absences_by_instructor ON absences (instructor);
