-- Who may call. Of a key only a hash is kept: who reads this file cannot call with it.

CREATE TABLE access_keys (
    name         TEXT PRIMARY KEY,                      -- `accessKeys/...` for a key of every studio
    studio       TEXT REFERENCES studios (name),        -- null: every studio
    display_name TEXT NOT NULL,
    role         INTEGER NOT NULL,                      -- Role
    sites        TEXT NOT NULL,                         -- names parted by spaces; empty: all of the studio
    key_sha256   BLOB NOT NULL UNIQUE,
    create_ms    INTEGER NOT NULL,
    expire_ms    INTEGER,
    revoke_ms    INTEGER
);
CREATE INDEX access_keys_by_studio ON access_keys (studio, name);

-- What this store's nodes share and tell nobody.
CREATE TABLE node_secrets (
    name   TEXT PRIMARY KEY,
    secret BLOB NOT NULL
);
