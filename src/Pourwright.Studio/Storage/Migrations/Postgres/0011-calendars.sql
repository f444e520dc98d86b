-- What the columns hold is said in Sqlite/0011-calendars.sql.

CREATE TABLE calendar_links (
    name TEXT PRIMARY KEY,
    studio TEXT NOT NULL REFERENCES studios (name),
    subject TEXT NOT NULL,
    display_name TEXT NOT NULL,
    key_sha256 BYTEA NOT NULL UNIQUE,
    create_ms BIGINT NOT NULL,
    expire_ms BIGINT,
    revoke_ms BIGINT
);
CREATE INDEX calendar_links_by_studio ON calendar_links (studio, name);

ALTER TABLE sessions ADD COLUMN change_ms BIGINT NOT NULL DEFAULT 0;
