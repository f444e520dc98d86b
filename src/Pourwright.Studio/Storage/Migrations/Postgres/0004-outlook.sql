-- What the columns hold is said in Sqlite/0004-outlook.sql.

CREATE TABLE bench_outlooks (
    bench TEXT PRIMARY KEY REFERENCES benches (name),
    kind BIGINT NOT NULL,
    points TEXT NOT NULL,
    set_ms BIGINT NOT NULL
);
