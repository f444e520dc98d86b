-- Watchers look at every commit for what went out since, and a sweep asks for the last place in the order of sending.
CREATE INDEX reminders_by_sending ON reminders (studio, send_sequence);
