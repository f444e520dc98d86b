-- What the air at a bench will follow, as last said: weather or heating. Forecasts keep in words what they took of it.

CREATE TABLE bench_outlooks (
    bench  TEXT PRIMARY KEY REFERENCES benches (name),
    kind   INTEGER NOT NULL,                            -- BenchOutlook.Kind
    points TEXT NOT NULL,                               -- JSON [[Unix ms, °C], ...] in rising time: read and replaced whole
    set_ms INTEGER NOT NULL
);
