CREATE TABLE leases (
    name TEXT NOT NULL PRIMARY KEY,
    holder TEXT NOT NULL,
    until_ms BIGINT NOT NULL
);
