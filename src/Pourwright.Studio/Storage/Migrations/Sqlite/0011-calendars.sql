-- Links to calendar feeds. Of a link's key only a hash is kept: who reads this file cannot read the feeds.

CREATE TABLE calendar_links (
    name         TEXT PRIMARY KEY,
    studio       TEXT NOT NULL REFERENCES studios (name),
    subject      TEXT NOT NULL,                         -- name of a site, an instructor or a student
    display_name TEXT NOT NULL,
    key_sha256   BLOB NOT NULL UNIQUE,
    create_ms    INTEGER NOT NULL,
    expire_ms    INTEGER,
    revoke_ms    INTEGER
);
CREATE INDEX calendar_links_by_studio ON calendar_links (studio, name);

ALTER TABLE sessions ADD COLUMN change_ms INTEGER NOT NULL DEFAULT 0;        -- when anything of it was written last
