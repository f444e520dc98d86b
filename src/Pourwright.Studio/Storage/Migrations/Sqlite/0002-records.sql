-- The studio's records. Names are resource names; `*_ms` are Unix milliseconds UTC; masses are integer milligrams.
-- What is evidence (mixes, pours, readings, checks, steps, forecasts, defects, container_events) is only ever inserted.

CREATE TABLE studios (
    name         TEXT PRIMARY KEY,
    display_name TEXT NOT NULL
);

CREATE TABLE sites (
    name                     TEXT PRIMARY KEY,
    studio                   TEXT NOT NULL REFERENCES studios (name),
    display_name             TEXT NOT NULL,
    time_zone                TEXT NOT NULL,
    quiet_start_minute       INTEGER NOT NULL,          -- minute of the local day
    quiet_end_minute         INTEGER NOT NULL,
    reminder_swing_ms        INTEGER NOT NULL,
    dew_point_margin_celsius REAL NOT NULL,
    etag                     TEXT NOT NULL
);

CREATE TABLE contacts (
    site         TEXT NOT NULL REFERENCES sites (name),
    position     INTEGER NOT NULL,                      -- order as given; the first of a role is told
    role         INTEGER NOT NULL,                      -- Contact.Role
    display_name TEXT NOT NULL,
    email        TEXT NOT NULL,
    webhook_uri  TEXT NOT NULL,
    PRIMARY KEY (site, position)
);

CREATE TABLE benches (
    name                        TEXT PRIMARY KEY,
    site                        TEXT NOT NULL REFERENCES sites (name),
    display_name                TEXT NOT NULL,
    planned_temperature_celsius REAL,
    board_thickness_mm          REAL NOT NULL
);

CREATE TABLE sensors (
    name               TEXT PRIMARY KEY,
    site               TEXT NOT NULL REFERENCES sites (name),
    display_name       TEXT NOT NULL,
    bench              TEXT REFERENCES benches (name),  -- null: the room's
    report_interval_ms INTEGER NOT NULL,
    last_reading_ms    INTEGER                          -- newest reading_ms so far: what the silence sweep looks at
);
CREATE INDEX sensors_by_site ON sensors (site);

CREATE TABLE resin_systems (
    name                         TEXT PRIMARY KEY,
    studio                       TEXT NOT NULL REFERENCES studios (name),
    display_name                 TEXT NOT NULL,
    basis                        INTEGER NOT NULL,      -- ResinSystem.Basis
    hardener_parts_per_100_resin REAL NOT NULL,
    ratio_tolerance_percent      REAL NOT NULL,
    a_density_kg_per_m3          REAL,
    b_density_kg_per_m3          REAL,
    cure_class                   INTEGER NOT NULL,      -- ResinSystem.CureClass
    max_depth_mm                 REAL,
    depth_limit_action           INTEGER NOT NULL,      -- ResinSystem.LimitAction
    max_batch_mass_mg            INTEGER,
    batch_limit_action           INTEGER NOT NULL,
    min_cure_temperature_celsius REAL NOT NULL,
    opened_shelf_life_ms         INTEGER,
    data_sheet                   TEXT NOT NULL          -- DataSheet as protobuf JSON: kept for calibration, read whole
);

CREATE TABLE lots (
    name              TEXT PRIMARY KEY,
    studio            TEXT NOT NULL REFERENCES studios (name),
    part              INTEGER NOT NULL,                 -- Part
    resin_system      TEXT REFERENCES resin_systems (name),
    supplier          TEXT NOT NULL,
    supplier_lot_code TEXT NOT NULL,
    content           TEXT NOT NULL,
    expiry_date       TEXT,                             -- yyyy-MM-dd
    receive_ms        INTEGER NOT NULL,
    received_mass_mg  INTEGER NOT NULL,
    held              INTEGER NOT NULL DEFAULT 0,
    hold_reason       TEXT NOT NULL DEFAULT ''
);

CREATE TABLE containers (
    name              TEXT PRIMARY KEY,
    studio            TEXT NOT NULL REFERENCES studios (name),
    site              TEXT NOT NULL REFERENCES sites (name),
    part              INTEGER NOT NULL,
    resin_system      TEXT REFERENCES resin_systems (name),
    state             INTEGER NOT NULL,                 -- Container.State
    held              INTEGER NOT NULL DEFAULT 0,       -- the container itself; a held lot inside counts as well
    hold_reason       TEXT NOT NULL DEFAULT '',
    received_mass_mg  INTEGER NOT NULL,
    remaining_mass_mg INTEGER NOT NULL CHECK (remaining_mass_mg >= 0),
    open_ms           INTEGER,
    expire_ms         INTEGER                           -- first of its lots' expiry and its opened shelf life
);
CREATE INDEX containers_by_studio ON containers (studio, name);
CREATE INDEX containers_by_expiry ON containers (expire_ms) WHERE state <> 3;

-- Every gram that moves, in order. sequence orders what happened in a container: a draw holds only the lots that were
-- put in before it.
CREATE TABLE container_events (
    sequence        INTEGER PRIMARY KEY AUTOINCREMENT,
    container       TEXT NOT NULL REFERENCES containers (name),
    kind            TEXT NOT NULL CHECK (kind IN
                        ('received', 'opened', 'filled', 'decanted', 'mixed', 'weighed', 'moved', 'discarded', 'held', 'released')),
    mass_mg         INTEGER NOT NULL,                   -- signed: into the container is positive
    lot             TEXT REFERENCES lots (name),        -- received: from which lot; held, released: because of which
    other_container TEXT REFERENCES containers (name),  -- filled: from which; decanted: into which
    mix             TEXT REFERENCES mixes (name),       -- mixed: into which
    site            TEXT REFERENCES sites (name),       -- moved: to which
    reason          TEXT NOT NULL DEFAULT '',
    event_ms        INTEGER NOT NULL
);
CREATE INDEX container_events_by_container ON container_events (container, sequence);
CREATE INDEX container_events_by_lot ON container_events (lot) WHERE lot IS NOT NULL;
CREATE INDEX container_events_by_other ON container_events (other_container) WHERE other_container IS NOT NULL;
CREATE INDEX container_events_by_mix ON container_events (mix) WHERE mix IS NOT NULL;

CREATE TABLE mixes (
    name                         TEXT PRIMARY KEY,
    studio                       TEXT NOT NULL REFERENCES studios (name),
    site                         TEXT NOT NULL REFERENCES sites (name),
    resin_system                 TEXT NOT NULL REFERENCES resin_systems (name),
    mix_ms                       INTEGER NOT NULL,
    mixer                        TEXT NOT NULL,
    scale                        TEXT NOT NULL,
    temperature_celsius          REAL,
    deviation_reason             TEXT NOT NULL,
    a_mass_mg                    INTEGER NOT NULL,
    b_mass_mg                    INTEGER NOT NULL,
    pigment_mass_mg              INTEGER NOT NULL,
    hardener_parts_per_100_resin REAL NOT NULL,
    ratio_deviation_percent      REAL NOT NULL,
    pot_life_end_ms              INTEGER,
    cautions                     TEXT NOT NULL,         -- JSON list of Caution
    record_ms                    INTEGER NOT NULL
);

CREATE TABLE mix_discards (
    mix        TEXT NOT NULL REFERENCES mixes (name),
    mass_mg    INTEGER NOT NULL CHECK (mass_mg > 0),
    discard_ms INTEGER NOT NULL
);
CREATE INDEX mix_discards_by_mix ON mix_discards (mix);

CREATE TABLE pieces (
    name                  TEXT PRIMARY KEY,
    studio                TEXT NOT NULL REFERENCES studios (name),
    site                  TEXT NOT NULL REFERENCES sites (name),
    label                 TEXT NOT NULL,
    maker                 TEXT NOT NULL,
    casting_class         TEXT NOT NULL,
    mould                 TEXT NOT NULL,
    wood_species          TEXT NOT NULL,
    wood_moisture_percent REAL,
    planned_session_ms    INTEGER,
    state                 INTEGER NOT NULL,             -- Piece.State
    bench                 TEXT REFERENCES benches (name)
);
CREATE INDEX pieces_by_site ON pieces (site, name);
CREATE INDEX pieces_curing_by_bench ON pieces (bench) WHERE state IN (2, 3);

CREATE TABLE pours (
    name                        TEXT PRIMARY KEY,
    piece                       TEXT NOT NULL REFERENCES pieces (name),
    mix                         TEXT NOT NULL REFERENCES mixes (name),
    bench                       TEXT NOT NULL REFERENCES benches (name),
    mass_mg                     INTEGER NOT NULL CHECK (mass_mg > 0),
    depth_mm                    REAL NOT NULL,
    pour_ms                     INTEGER NOT NULL,
    resin_temperature_celsius   REAL,
    surface_temperature_celsius REAL,
    pourer                      TEXT NOT NULL,
    deviation_reason            TEXT NOT NULL,
    layer_count                 INTEGER NOT NULL,
    cautions                    TEXT NOT NULL,
    record_ms                   INTEGER NOT NULL
);
CREATE INDEX pours_by_piece ON pours (piece, pour_ms);
CREATE INDEX pours_by_mix ON pours (mix);

CREATE TABLE checks (
    name                        TEXT PRIMARY KEY,
    piece                       TEXT NOT NULL REFERENCES pieces (name),
    check_ms                    INTEGER NOT NULL,
    checker                     TEXT NOT NULL,
    touch                       INTEGER NOT NULL,       -- Check.Touch
    shore_d                     REAL,
    shore_d_below_scale         INTEGER NOT NULL,
    surface_temperature_celsius REAL,
    thickness_mm                REAL,
    note                        TEXT NOT NULL,
    record_ms                   INTEGER NOT NULL
);
CREATE INDEX checks_by_piece ON checks (piece, check_ms);

CREATE TABLE steps (
    name      TEXT PRIMARY KEY,
    piece     TEXT NOT NULL REFERENCES pieces (name),
    kind      INTEGER NOT NULL,                         -- Step.Kind
    step_ms   INTEGER NOT NULL,
    worker    TEXT NOT NULL,
    bench     TEXT REFERENCES benches (name),
    note      TEXT NOT NULL,
    cautions  TEXT NOT NULL,
    record_ms INTEGER NOT NULL
);
CREATE INDEX steps_by_piece ON steps (piece, step_ms);

CREATE TABLE readings (
    sensor                      TEXT NOT NULL REFERENCES sensors (name),
    reading_ms                  INTEGER NOT NULL,
    temperature_celsius         REAL NOT NULL,
    relative_humidity_percent   REAL,
    surface_temperature_celsius REAL,
    PRIMARY KEY (sensor, reading_ms)
) WITHOUT ROWID;

-- Benches whose pieces have new readings. due_ms is set by the first reading and not pushed on by the next ones, so that
-- a chatty sensor delays nothing.
CREATE TABLE benches_touched (
    bench  TEXT PRIMARY KEY REFERENCES benches (name),
    due_ms INTEGER NOT NULL
);

CREATE TABLE forecasts (
    piece            TEXT NOT NULL REFERENCES pieces (name),
    revision         INTEGER NOT NULL,                  -- from 1
    forecast_ms      INTEGER NOT NULL,
    cause            INTEGER NOT NULL,                  -- Forecast.Cause
    model_revision   TEXT NOT NULL,
    pour_ms          INTEGER NOT NULL,
    gel_earliest_ms INTEGER,    gel_likely_ms INTEGER,    gel_safe_ms INTEGER,
    demold_earliest_ms INTEGER, demold_likely_ms INTEGER, demold_safe_ms INTEGER,
    handle_earliest_ms INTEGER, handle_likely_ms INTEGER, handle_safe_ms INTEGER,
    peak_low_celsius REAL NOT NULL,
    peak_likely_celsius REAL NOT NULL,
    peak_high_celsius REAL NOT NULL,
    peak_likely_offset_ms INTEGER NOT NULL,
    runaway_margin_ratio REAL NOT NULL,
    last_reading_ms  INTEGER,
    gap_ms           INTEGER NOT NULL,
    room_assumption  TEXT NOT NULL,
    cautions         TEXT NOT NULL,
    course           TEXT NOT NULL,                     -- JSON list, see Forecasts/CourseJson
    PRIMARY KEY (piece, revision)
);

CREATE TABLE reminders (
    sequence        INTEGER PRIMARY KEY AUTOINCREMENT,
    name            TEXT NOT NULL UNIQUE,
    studio          TEXT NOT NULL REFERENCES studios (name),
    site            TEXT REFERENCES sites (name),
    kind            INTEGER NOT NULL,                   -- Reminder.Kind
    state           INTEGER NOT NULL,                   -- Reminder.State
    subject         TEXT NOT NULL,
    decision        TEXT NOT NULL UNIQUE,               -- one reminder per decision: subject, kind and generation
    text            TEXT NOT NULL,
    recipient_role  INTEGER NOT NULL,
    safety          INTEGER NOT NULL,                   -- 1: quiet hours do not hold it back
    remind_ms       INTEGER NOT NULL,
    send_ms         INTEGER,
    send_sequence   INTEGER UNIQUE,                     -- order in which they went out: what a watch resumes from
    acknowledge_ms  INTEGER,
    acknowledger    TEXT NOT NULL DEFAULT '',
    escalate_due_ms INTEGER,                            -- when the next role is told unless somebody acknowledges
    escalate_ms     INTEGER,
    withdraw_reason TEXT NOT NULL DEFAULT ''
);
CREATE INDEX reminders_pending ON reminders (remind_ms) WHERE state = 1;
CREATE INDEX reminders_to_escalate ON reminders (escalate_due_ms) WHERE state = 2 AND escalate_due_ms IS NOT NULL;
CREATE INDEX reminders_by_subject ON reminders (subject, kind);
CREATE INDEX reminders_by_studio ON reminders (studio, sequence);
CREATE INDEX reminders_of_episodes ON reminders (kind) WHERE kind IN (6, 7) AND state <> 4; -- sensor silent, climate warning

-- One row per reminder, channel and address. The inbox needs none: it is the reminders table itself.
CREATE TABLE deliveries (
    reminder        TEXT NOT NULL REFERENCES reminders (name),
    channel         TEXT NOT NULL CHECK (channel IN ('email', 'webhook')),
    address         TEXT NOT NULL,
    attempts        INTEGER NOT NULL DEFAULT 0,
    next_attempt_ms INTEGER,                            -- null: delivered, or given up
    delivered_ms    INTEGER,
    last_error      TEXT NOT NULL DEFAULT '',
    PRIMARY KEY (reminder, channel, address)
);
CREATE INDEX deliveries_due ON deliveries (next_attempt_ms) WHERE next_attempt_ms IS NOT NULL;

CREATE TABLE defects (
    name    TEXT PRIMARY KEY,
    studio  TEXT NOT NULL REFERENCES studios (name),
    piece   TEXT NOT NULL REFERENCES pieces (name),
    kind    INTEGER NOT NULL,                           -- Defect.Kind
    find_ms INTEGER NOT NULL,
    finder  TEXT NOT NULL,
    note    TEXT NOT NULL,
    photo_uris TEXT NOT NULL                            -- JSON list
);
CREATE INDEX defects_by_piece ON defects (piece);
