ALTER TABLE outbox ADD COLUMN trace_parent TEXT;
ALTER TABLE reminders ADD COLUMN trace_parent TEXT;
