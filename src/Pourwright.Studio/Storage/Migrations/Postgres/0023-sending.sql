CREATE INDEX reminders_by_sending ON reminders (studio, send_sequence);
