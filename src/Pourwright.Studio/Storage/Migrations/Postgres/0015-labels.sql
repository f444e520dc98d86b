-- What the columns hold is said in Sqlite/0015-labels.sql.

ALTER TABLE lots ADD COLUMN label_text TEXT NOT NULL DEFAULT '';
ALTER TABLE lots ADD COLUMN gtin TEXT NOT NULL DEFAULT '';
ALTER TABLE lots ADD COLUMN cautions TEXT NOT NULL DEFAULT '[]';
CREATE INDEX lots_by_supplier_lot_code ON lots (studio, supplier_lot_code);

CREATE TABLE export_keys (
    key BYTEA NOT NULL
);
INSERT INTO export_keys (key) VALUES (uuid_send(gen_random_uuid()) || uuid_send(gen_random_uuid()));

-- A list of texts as SQLite takes it apart: SELECT value FROM json_each(@list).
CREATE FUNCTION json_each(list TEXT) RETURNS TABLE (value TEXT) LANGUAGE sql IMMUTABLE AS
    'SELECT json_array_elements_text(CAST(list AS JSON))';
