-- What the columns hold is said in Sqlite/0018-access.sql.

CREATE TABLE access_keys (
    name TEXT PRIMARY KEY,
    studio TEXT REFERENCES studios (name),
    display_name TEXT NOT NULL,
    role BIGINT NOT NULL,
    sites TEXT NOT NULL,
    key_sha256 BYTEA NOT NULL UNIQUE,
    create_ms BIGINT NOT NULL,
    expire_ms BIGINT,
    revoke_ms BIGINT
);
CREATE INDEX access_keys_by_studio ON access_keys (studio, name);

CREATE TABLE node_secrets (
    name TEXT PRIMARY KEY,
    secret BYTEA NOT NULL
);
