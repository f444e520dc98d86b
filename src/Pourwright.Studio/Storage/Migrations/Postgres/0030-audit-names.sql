-- What the columns hold is said in Sqlite/0030-audit-names.sql.

ALTER TABLE audit_entries ADD COLUMN seal_salt TEXT;
ALTER TABLE audit_entries ADD COLUMN names_seal TEXT;
ALTER TABLE audit_entries ADD COLUMN access_key_seal TEXT;
CREATE INDEX audit_entries_sealed ON audit_entries (studio, sequence) WHERE names_seal IS NOT NULL;
