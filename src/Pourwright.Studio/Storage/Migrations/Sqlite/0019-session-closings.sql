-- Who closed a session and said that the rags are safe. Recorded once.
CREATE TABLE session_closings (
    session  TEXT PRIMARY KEY REFERENCES sessions (name),
    closer   TEXT NOT NULL,
    close_ms INTEGER NOT NULL
) WITHOUT ROWID;
