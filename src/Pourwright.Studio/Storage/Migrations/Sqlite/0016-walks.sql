-- What came into a container, apart from the many draws on it: a walk back reads these alone.
CREATE INDEX container_events_filled ON container_events (container, sequence) WHERE kind = 'filled';
CREATE INDEX container_events_received ON container_events (container, sequence) WHERE kind = 'received';
-- Mixes around another: what somebody mixed, or a scale weighed, in those weeks.
CREATE INDEX mixes_by_time ON mixes (studio, mix_ms);
