-- What the columns hold is said in Sqlite/0006-channel.sql.

ALTER TABLE pieces ADD COLUMN channel_width_mm DOUBLE PRECISION;
