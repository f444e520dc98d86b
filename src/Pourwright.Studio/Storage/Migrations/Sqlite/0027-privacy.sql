-- Names in evidence that may have to be forgotten. See Storage/Chain/SealedText.

-- A chain covers `x_seal` instead of `x`: SHA-256 of the salt, the column and the text. Where the salt is gone, nobody can try names on it.
-- Rows recorded before this have neither: their chain covers the names themselves, and they stay.
ALTER TABLE pieces ADD COLUMN seal_salt TEXT;
ALTER TABLE pieces ADD COLUMN maker_seal TEXT;
ALTER TABLE recalls ADD COLUMN seal_salt TEXT;
ALTER TABLE recalls ADD COLUMN found_seal TEXT;
ALTER TABLE recall_notices ADD COLUMN seal_salt TEXT;
ALTER TABLE recall_notices ADD COLUMN person_seal TEXT;
ALTER TABLE recall_notices ADD COLUMN recipient_seal TEXT;
ALTER TABLE recall_notices ADD COLUMN email_seal TEXT;

-- What was forgotten, and what stands instead. Only ever inserted.
CREATE TABLE erasures (
    sequence           INTEGER PRIMARY KEY AUTOINCREMENT,
    studio             TEXT    NOT NULL REFERENCES studios (name),
    person             TEXT    NOT NULL,                -- the pseudonym
    record_table       TEXT    NOT NULL,
    record_key         TEXT    NOT NULL,
    record_column      TEXT    NOT NULL,
    replacement_sha256 TEXT    NOT NULL,                -- of the text that stands there since
    erase_ms           INTEGER NOT NULL
);
CREATE INDEX erasures_by_studio ON erasures (studio, sequence);

-- What somebody said of their own health so that the instructor of the day may take care; kept as long as they agree.
CREATE TABLE health_notes (
    student    TEXT    PRIMARY KEY REFERENCES students (name),
    note       TEXT    NOT NULL,
    consent_ms INTEGER NOT NULL
);
