-- What the columns hold is said in Sqlite/0019-session-closings.sql.

CREATE TABLE session_closings (
    session TEXT PRIMARY KEY REFERENCES sessions (name),
    closer TEXT NOT NULL,
    close_ms BIGINT NOT NULL
);
