-- What the indexes are for is said in Sqlite/0016-walks.sql.

CREATE INDEX container_events_filled ON container_events (container, sequence) WHERE kind = 'filled';
CREATE INDEX container_events_received ON container_events (container, sequence) WHERE kind = 'received';
CREATE INDEX mixes_by_time ON mixes (studio, mix_ms);
