-- Plans of class dates: what was drafted, what was proposed when something happened, and what holds.

CREATE TABLE plans (
    name                TEXT PRIMARY KEY,
    studio              TEXT NOT NULL REFERENCES studios (name),
    state               INTEGER NOT NULL,               -- Plan.State
    first_date          TEXT NOT NULL,                  -- of a pour, yyyy-MM-dd
    day_count           INTEGER NOT NULL,
    student_count       INTEGER NOT NULL,
    student_bound_count INTEGER NOT NULL,
    class_count         INTEGER NOT NULL,
    moved_count         INTEGER NOT NULL,
    cancelled_count     INTEGER NOT NULL,
    create_ms           INTEGER NOT NULL,
    publish_ms          INTEGER,
    publisher           TEXT NOT NULL DEFAULT '',
    reason              TEXT NOT NULL DEFAULT '',
    base_plan           TEXT REFERENCES plans (name),
    event               TEXT,                           -- PlanEvent as protobuf JSON
    cautions            TEXT NOT NULL,                  -- JSON list of Caution
    text                TEXT NOT NULL
);
CREATE INDEX plans_by_studio ON plans (studio, create_ms);
CREATE UNIQUE INDEX plans_published ON plans (studio) WHERE state = 3;

-- A class in a plan; without a site it has no place, and reason says why.
CREATE TABLE placements (
    plan         TEXT NOT NULL REFERENCES plans (name),
    class        TEXT NOT NULL REFERENCES classes (name),
    site         TEXT REFERENCES sites (name),
    benches      TEXT NOT NULL DEFAULT '[]',            -- JSON [[bench, pieces], ...]: read whole
    students     INTEGER NOT NULL,
    ready_chance REAL NOT NULL DEFAULT 0,
    gap_ms       INTEGER NOT NULL DEFAULT 0,
    least_gap_ms INTEGER NOT NULL DEFAULT 0,
    change       TEXT NOT NULL DEFAULT '',              -- against the base plan, in words
    reason       TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (plan, class)
) WITHOUT ROWID;

CREATE TABLE placed_sessions (
    plan               TEXT NOT NULL,
    class              TEXT NOT NULL,
    kind               INTEGER NOT NULL,                -- Session.Kind
    site               TEXT NOT NULL REFERENCES sites (name),
    start_ms           INTEGER NOT NULL,
    end_ms             INTEGER NOT NULL,
    local_date         TEXT NOT NULL,
    local_start_minute INTEGER NOT NULL,
    instructor         TEXT NOT NULL REFERENCES instructors (name),
    PRIMARY KEY (plan, class, kind),
    FOREIGN KEY (plan, class) REFERENCES placements (plan, class)
) WITHOUT ROWID;
