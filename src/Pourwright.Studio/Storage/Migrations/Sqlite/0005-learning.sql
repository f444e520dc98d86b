-- What checks taught: weighted draws of each resin system, and which observation was learned, each once.

CREATE TABLE resin_beliefs (
    resin_system TEXT PRIMARY KEY REFERENCES resin_systems (name),
    revision     INTEGER NOT NULL,                      -- from 1; counts the lessons
    learn_ms     INTEGER NOT NULL,
    draws        TEXT NOT NULL                          -- JSON, see Forecasts/Learning/DrawsJson: read whole
);

CREATE TABLE observations_learned (
    source       TEXT PRIMARY KEY,                      -- name of a check or a step
    piece        TEXT NOT NULL REFERENCES pieces (name),
    resin_system TEXT NOT NULL REFERENCES resin_systems (name),
    lots         TEXT NOT NULL,                         -- resource names, joined by '+'
    learn_ms     INTEGER NOT NULL
);
CREATE INDEX observations_learned_by_lots ON observations_learned (resin_system, lots);
