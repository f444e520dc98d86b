-- Watchers of a studio look at every commit for what went out since.
CREATE INDEX reminders_by_sending ON reminders (studio, send_sequence);
