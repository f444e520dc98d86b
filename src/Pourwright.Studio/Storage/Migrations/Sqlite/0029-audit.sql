-- Who did what, and what was denied. Only ever inserted, and evidence: each row stands in the chain of its studio.
CREATE TABLE audit_entries (
    sequence   INTEGER PRIMARY KEY AUTOINCREMENT,
    studio     TEXT NOT NULL REFERENCES studios (name),
    entry_ms   INTEGER NOT NULL,                        -- of what is counted together: the first
    access_key TEXT NOT NULL,                           -- name of the key, never its secret; empty: none that was good
    role       INTEGER NOT NULL,                        -- Role; 0 without a key
    method     TEXT NOT NULL,                           -- name of the call, such as RecordMix
    outcome    INTEGER NOT NULL,                        -- AuditEntry.Outcome
    reason     TEXT NOT NULL,                           -- of a refusal or denial; empty where it was done
    names      TEXT NOT NULL,                           -- what it was about, parted by spaces, the first twenty
    request_id TEXT NOT NULL,
    address    TEXT NOT NULL,                           -- of the client; of the internet only its network
    call_count INTEGER NOT NULL                         -- how many alike this entry stands for; the names are those of the first
);
CREATE INDEX audit_entries_by_studio ON audit_entries (studio, sequence);
