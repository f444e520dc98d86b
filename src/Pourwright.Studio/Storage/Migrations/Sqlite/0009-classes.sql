-- Classes, their sessions, who comes, what must be prepared, and the moulds.

CREATE TABLE classes (
    name           TEXT PRIMARY KEY,
    studio         TEXT NOT NULL REFERENCES studios (name),
    display_name   TEXT NOT NULL,
    offering       TEXT NOT NULL REFERENCES offerings (name),
    seats          INTEGER NOT NULL CHECK (seats > 0),
    pieces         INTEGER NOT NULL CHECK (pieces > 0),
    first_date     TEXT NOT NULL,                       -- of the pour, yyyy-MM-dd
    last_date      TEXT NOT NULL,
    weekdays       INTEGER NOT NULL,                    -- of any session: bits 1 << (weekday - 1), Monday 1
    favourite_date TEXT,
    state          INTEGER NOT NULL,                    -- CastingClass.State
    cancel_reason  TEXT NOT NULL DEFAULT '',
    etag           TEXT NOT NULL
);
CREATE INDEX classes_by_studio ON classes (studio, name);
CREATE INDEX classes_open ON classes (state) WHERE state IN (1, 2); -- requested, confirmed

CREATE TABLE class_sites (
    class    TEXT NOT NULL REFERENCES classes (name),
    site     TEXT NOT NULL REFERENCES sites (name),
    position INTEGER NOT NULL,                          -- 0 is liked best
    PRIMARY KEY (class, site)
) WITHOUT ROWID;

-- sequence is that of a calendar entry (RFC 5545 3.8.7.4): it grows with time, place, instructor and state, and is never
-- given again, so that a row stays when its session is cancelled.
CREATE TABLE sessions (
    name               TEXT PRIMARY KEY,
    class              TEXT NOT NULL REFERENCES classes (name),
    kind               INTEGER NOT NULL,                -- Session.Kind
    site               TEXT NOT NULL REFERENCES sites (name),
    bench              TEXT REFERENCES benches (name),
    start_ms           INTEGER NOT NULL,
    end_ms             INTEGER NOT NULL CHECK (end_ms > start_ms),
    local_date         TEXT NOT NULL,                   -- what was agreed upon; start_ms follows from it
    local_start_minute INTEGER NOT NULL,
    time_zone          TEXT NOT NULL,
    tzdb_version       TEXT NOT NULL,                   -- by which release of the time zone data
    instructor         TEXT NOT NULL REFERENCES instructors (name),
    state              INTEGER NOT NULL,                -- Session.State
    sequence           INTEGER NOT NULL,                -- from 0
    change_reason      TEXT NOT NULL
);
CREATE INDEX sessions_by_class ON sessions (class);
CREATE INDEX sessions_by_site ON sessions (site, start_ms);
CREATE INDEX sessions_by_instructor ON sessions (instructor, start_ms);

-- Nothing else is kept of a person.
CREATE TABLE students (
    name                TEXT PRIMARY KEY,
    studio              TEXT NOT NULL REFERENCES studios (name),
    display_name        TEXT NOT NULL,
    contact_email       TEXT NOT NULL,
    consent_to_messages INTEGER NOT NULL,
    etag                TEXT NOT NULL
);
CREATE INDEX students_by_studio ON students (studio, name);

CREATE TABLE enrolments (
    sequence         INTEGER PRIMARY KEY AUTOINCREMENT, -- the order of the waiting list
    name             TEXT NOT NULL UNIQUE,
    class            TEXT NOT NULL REFERENCES classes (name),
    student          TEXT NOT NULL REFERENCES students (name),
    state            INTEGER NOT NULL,                  -- Enrolment.State
    accepted_dates   TEXT NOT NULL,                     -- yyyy-MM-dd, joined by spaces; empty is any
    offered_ms       INTEGER,
    offer_expires_ms INTEGER,
    created_ms       INTEGER NOT NULL,
    cautions         TEXT NOT NULL                      -- JSON list of Caution
);
CREATE INDEX enrolments_by_class ON enrolments (class, sequence);
CREATE INDEX enrolments_by_student ON enrolments (student);
CREATE INDEX enrolments_offered ON enrolments (offer_expires_ms) WHERE state = 3;
-- One place a student in a class: enrolled, waiting or offered.
CREATE UNIQUE INDEX enrolments_live ON enrolments (class, student) WHERE state IN (1, 2, 3);

CREATE TABLE tasks (
    name    TEXT PRIMARY KEY,
    class   TEXT NOT NULL REFERENCES classes (name),
    site    TEXT NOT NULL REFERENCES sites (name),
    kind    INTEGER NOT NULL,                           -- PrepTask.Kind
    due_ms  INTEGER NOT NULL,
    done_ms INTEGER,
    done_by TEXT NOT NULL DEFAULT ''
);
CREATE INDEX tasks_by_class ON tasks (class);
CREATE INDEX tasks_open ON tasks (due_ms) WHERE done_ms IS NULL;

CREATE TABLE moulds (
    name         TEXT PRIMARY KEY,
    site         TEXT NOT NULL REFERENCES sites (name),
    display_name TEXT NOT NULL,
    length_mm    REAL NOT NULL,                         -- inside
    width_mm     REAL NOT NULL,
    depth_mm     REAL NOT NULL,
    count        INTEGER NOT NULL CHECK (count > 0)
);
CREATE INDEX moulds_by_site ON moulds (site, name);

-- A class holds its moulds from the start of its pour to the end of its machine day, wherever these move.
CREATE TABLE mould_bookings (
    class TEXT NOT NULL REFERENCES classes (name),
    mould TEXT NOT NULL REFERENCES moulds (name),
    count INTEGER NOT NULL CHECK (count > 0),
    PRIMARY KEY (class, mould)
) WITHOUT ROWID;
CREATE INDEX mould_bookings_by_mould ON mould_bookings (mould);

-- A reminder to one person instead of a role: a student or an instructor by name, and where it goes.
ALTER TABLE reminders ADD COLUMN recipient TEXT NOT NULL DEFAULT '';
ALTER TABLE reminders ADD COLUMN recipient_email TEXT NOT NULL DEFAULT '';
CREATE INDEX reminders_by_recipient ON reminders (recipient) WHERE recipient <> '';
CREATE INDEX reminders_of_digests ON reminders (kind) WHERE kind = 12 AND state <> 4; -- preparation overdue
