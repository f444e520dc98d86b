-- What one node at a time does for all: whose turn it is, until when.
CREATE TABLE leases (
    name     TEXT    NOT NULL PRIMARY KEY,
    holder   TEXT    NOT NULL,
    until_ms INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
