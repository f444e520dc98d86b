-- What the columns hold is said in Sqlite/0010-plans.sql.

CREATE TABLE plans (
    name TEXT PRIMARY KEY,
    studio TEXT NOT NULL REFERENCES studios (name),
    state BIGINT NOT NULL,
    first_date TEXT NOT NULL,
    day_count BIGINT NOT NULL,
    student_count BIGINT NOT NULL,
    student_bound_count BIGINT NOT NULL,
    class_count BIGINT NOT NULL,
    moved_count BIGINT NOT NULL,
    cancelled_count BIGINT NOT NULL,
    create_ms BIGINT NOT NULL,
    publish_ms BIGINT,
    publisher TEXT NOT NULL DEFAULT '',
    reason TEXT NOT NULL DEFAULT '',
    base_plan TEXT REFERENCES plans (name),
    event TEXT,
    cautions TEXT NOT NULL,
    text TEXT NOT NULL
);
CREATE INDEX plans_by_studio ON plans (studio, create_ms);
CREATE UNIQUE INDEX plans_published ON plans (studio) WHERE state = 3;

CREATE TABLE placements (
    plan TEXT NOT NULL REFERENCES plans (name),
    class TEXT NOT NULL REFERENCES classes (name),
    site TEXT REFERENCES sites (name),
    benches TEXT NOT NULL DEFAULT '[]',
    students BIGINT NOT NULL,
    ready_chance DOUBLE PRECISION NOT NULL DEFAULT 0,
    gap_ms BIGINT NOT NULL DEFAULT 0,
    least_gap_ms BIGINT NOT NULL DEFAULT 0,
    change TEXT NOT NULL DEFAULT '',
    reason TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (plan, class)
);

CREATE TABLE placed_sessions (
    plan TEXT NOT NULL,
    class TEXT NOT NULL,
    kind BIGINT NOT NULL,
    site TEXT NOT NULL REFERENCES sites (name),
    start_ms BIGINT NOT NULL,
    end_ms BIGINT NOT NULL,
    local_date TEXT NOT NULL,
    local_start_minute BIGINT NOT NULL,
    instructor TEXT NOT NULL REFERENCES instructors (name),
    PRIMARY KEY (plan, class, kind),
    FOREIGN KEY (plan, class) REFERENCES placements (plan, class)
);
