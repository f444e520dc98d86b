-- What the columns hold is said in Sqlite/0014-suspects.sql.

CREATE TABLE site_alarms (
    site TEXT NOT NULL REFERENCES sites (name),
    watched TEXT NOT NULL,
    first_piece TEXT NOT NULL REFERENCES pieces (name),
    last_piece TEXT NOT NULL REFERENCES pieces (name),
    notice_ms BIGINT NOT NULL,
    PRIMARY KEY (site, watched, first_piece)
);
