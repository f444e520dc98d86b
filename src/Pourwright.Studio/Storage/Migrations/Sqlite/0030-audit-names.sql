-- What an entry of the audit says of a student may have to be forgotten, as in 0027-privacy.sql. Only entries that name one have seals:
-- their names, and the key, which may be the student's link.
ALTER TABLE audit_entries ADD COLUMN seal_salt TEXT;
ALTER TABLE audit_entries ADD COLUMN names_seal TEXT;
ALTER TABLE audit_entries ADD COLUMN access_key_seal TEXT;

-- An erasure looks through these alone.
CREATE INDEX audit_entries_sealed ON audit_entries (studio, sequence) WHERE names_seal IS NOT NULL;
