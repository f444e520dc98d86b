-- The span that wrote a row (W3C Trace Context, traceparent), so that what is done with the row later goes on from there; NULL where nobody recorded it.
ALTER TABLE outbox ADD COLUMN trace_parent TEXT;
ALTER TABLE reminders ADD COLUMN trace_parent TEXT;
