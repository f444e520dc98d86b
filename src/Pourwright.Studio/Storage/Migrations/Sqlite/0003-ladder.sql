-- Forecasts: the sand gate beside the others, the rest of the ladder, why it was made and what one could do.

ALTER TABLE forecasts ADD COLUMN sand_earliest_ms INTEGER;
ALTER TABLE forecasts ADD COLUMN sand_likely_ms INTEGER;
ALTER TABLE forecasts ADD COLUMN sand_safe_ms INTEGER;
ALTER TABLE forecasts ADD COLUMN ladder TEXT NOT NULL DEFAULT '{}';          -- JSON, see Forecasts/LadderJson
ALTER TABLE forecasts ADD COLUMN reason TEXT NOT NULL DEFAULT '';
ALTER TABLE forecasts ADD COLUMN advice TEXT NOT NULL DEFAULT '[]';          -- JSON list of Advice
ALTER TABLE forecasts ADD COLUMN observation_count INTEGER NOT NULL DEFAULT 0;
