-- What the columns hold is said in Sqlite/0003-ladder.sql.

ALTER TABLE forecasts ADD COLUMN sand_earliest_ms BIGINT;
ALTER TABLE forecasts ADD COLUMN sand_likely_ms BIGINT;
ALTER TABLE forecasts ADD COLUMN sand_safe_ms BIGINT;
ALTER TABLE forecasts ADD COLUMN ladder TEXT NOT NULL DEFAULT '{}';
ALTER TABLE forecasts ADD COLUMN reason TEXT NOT NULL DEFAULT '';
ALTER TABLE forecasts ADD COLUMN advice TEXT NOT NULL DEFAULT '[]';
ALTER TABLE forecasts ADD COLUMN observation_count BIGINT NOT NULL DEFAULT 0;
