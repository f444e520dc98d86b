-- What every job of the studio stands on: answers already given, messages to send, messages already handled.
-- Columns ending in _ms hold Unix milliseconds, UTC.

-- The first answer to a request that carried a request_id. Only accepted requests are kept.
CREATE TABLE requests_seen (
    method      TEXT    NOT NULL,   -- full name of the request message
    request_id  TEXT    NOT NULL,   -- UUID, lower case
    fingerprint BLOB    NOT NULL,   -- SHA-256 of the request's bytes
    answer      BLOB    NOT NULL,   -- the serialized response
    seen_ms     INTEGER NOT NULL,
    PRIMARY KEY (method, request_id)
) STRICT, WITHOUT ROWID;

CREATE INDEX requests_seen_by_time ON requests_seen (seen_ms);

-- Messages saved together with the rows they speak of. sequence is the order of the commits.
CREATE TABLE outbox (
    sequence     INTEGER PRIMARY KEY AUTOINCREMENT,
    message_id   TEXT    NOT NULL UNIQUE,
    kind         TEXT    NOT NULL,  -- the message's type name
    body         TEXT    NOT NULL,  -- JSON
    created_ms   INTEGER NOT NULL,
    published_ms INTEGER,           -- handed to the bus
    finished_ms  INTEGER,           -- its consumer has saved its effect
    attempts     INTEGER NOT NULL DEFAULT 0,  -- failed deliveries
    last_error   TEXT
) STRICT;

CREATE INDEX outbox_unfinished ON outbox (published_ms, sequence) WHERE finished_ms IS NULL;
CREATE INDEX outbox_finished ON outbox (finished_ms) WHERE finished_ms IS NOT NULL;

-- One row a message and consumer: the effect was saved in the same transaction.
CREATE TABLE inbox (
    message_id TEXT    NOT NULL,
    consumer   TEXT    NOT NULL,
    handled_ms INTEGER NOT NULL,
    PRIMARY KEY (message_id, consumer)
) STRICT, WITHOUT ROWID;

CREATE INDEX inbox_by_time ON inbox (handled_ms);
