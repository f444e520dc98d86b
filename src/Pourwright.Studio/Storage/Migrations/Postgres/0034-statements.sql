-- What the column holds is said in Sqlite/0034-statements.sql.

ALTER TABLE forecasts ADD COLUMN statements TEXT NOT NULL DEFAULT '[]';
