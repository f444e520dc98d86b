-- Every row of evidence has its place in the chain of its site, or of the studio where it is of no one site. See Storage/Chain.

-- A link holds no copy of its record: whoever checks it reads the record where it stands.
CREATE TABLE chain_rows (
    site         TEXT    NOT NULL,                      -- name of a site or a studio
    position     INTEGER NOT NULL,                      -- from 0, without a gap
    record_table TEXT    NOT NULL,
    record_key   TEXT    NOT NULL,                      -- see Storage/Chain/EvidenceTable
    column_count INTEGER NOT NULL,                      -- how many of the table's columns the link covers, from the first
    link         TEXT    NOT NULL,                      -- SHA-256 of the link before and the record, 64 hexadecimal digits
    PRIMARY KEY (site, position)
) STRICT, WITHOUT ROWID;

-- Tables whose earlier rows were given links, each once.
CREATE TABLE chain_adopted (
    record_table TEXT    PRIMARY KEY,
    adopt_ms     INTEGER NOT NULL,
    row_count    INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE seals (
    name       TEXT    PRIMARY KEY,
    studio     TEXT    NOT NULL REFERENCES studios (name),
    seal_ms    INTEGER NOT NULL,
    first_head INTEGER NOT NULL,                        -- heads of earlier seals
    head_count INTEGER NOT NULL,                        -- all heads under the root
    root       TEXT    NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX seals_by_studio ON seals (studio, head_count);

CREATE TABLE sealed_heads (
    studio    TEXT    NOT NULL REFERENCES studios (name),
    position  INTEGER NOT NULL,                         -- among the leaves of the tree, from 0
    site      TEXT    NOT NULL,
    row_count INTEGER NOT NULL,
    link      TEXT    NOT NULL,
    seal_ms   INTEGER NOT NULL,
    PRIMARY KEY (studio, position)
) STRICT, WITHOUT ROWID;

-- A link names its record for good: the row numbers that SQLite gives by itself change when a file is rewritten.
ALTER TABLE mix_discards RENAME TO earlier_mix_discards;
DROP INDEX mix_discards_by_mix;
CREATE TABLE mix_discards (
    sequence   INTEGER PRIMARY KEY AUTOINCREMENT,
    mix        TEXT NOT NULL REFERENCES mixes (name),
    mass_mg    INTEGER NOT NULL CHECK (mass_mg > 0),
    discard_ms INTEGER NOT NULL
);
INSERT INTO mix_discards (mix, mass_mg, discard_ms) SELECT mix, mass_mg, discard_ms FROM earlier_mix_discards ORDER BY rowid;
DROP TABLE earlier_mix_discards;
CREATE INDEX mix_discards_by_mix ON mix_discards (mix);
