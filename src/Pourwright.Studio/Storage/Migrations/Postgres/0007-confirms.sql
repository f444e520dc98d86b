-- What the columns hold is said in Sqlite/0007-confirms.sql.

ALTER TABLE checks ADD COLUMN confirms BIGINT NOT NULL DEFAULT 0;
