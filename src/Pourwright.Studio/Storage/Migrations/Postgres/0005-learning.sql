-- What the columns hold is said in Sqlite/0005-learning.sql.

CREATE TABLE resin_beliefs (
    resin_system TEXT PRIMARY KEY REFERENCES resin_systems (name),
    revision BIGINT NOT NULL,
    learn_ms BIGINT NOT NULL,
    draws TEXT NOT NULL
);

CREATE TABLE observations_learned (
    source TEXT PRIMARY KEY,
    piece TEXT NOT NULL REFERENCES pieces (name),
    resin_system TEXT NOT NULL REFERENCES resin_systems (name),
    lots TEXT NOT NULL,
    learn_ms BIGINT NOT NULL
);
CREATE INDEX observations_learned_by_lots ON observations_learned (resin_system, lots);
