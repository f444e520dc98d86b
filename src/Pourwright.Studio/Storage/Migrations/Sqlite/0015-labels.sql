-- What a supplier's label said when its lot came in, and the key behind the ids of people in what leaves the house.

ALTER TABLE lots ADD COLUMN label_text TEXT NOT NULL DEFAULT '';             -- as scanned: FNC1 is 0x1D
ALTER TABLE lots ADD COLUMN gtin TEXT NOT NULL DEFAULT '';                   -- 14 digits, of the label
ALTER TABLE lots ADD COLUMN cautions TEXT NOT NULL DEFAULT '[]';             -- JSON list of Caution, as at its receipt
CREATE INDEX lots_by_supplier_lot_code ON lots (studio, supplier_lot_code);

-- One row. Without it an id in an export cannot be turned into a name, nor tried against a list of names.
CREATE TABLE export_keys (
    key BLOB NOT NULL
);
INSERT INTO export_keys (key) VALUES (randomblob(32));
