-- What was recorded wrongly, and what is right. Nothing is edited: rows of evidence stay, and the views below say which of them stand.

-- Only ever inserted; of a mix the last one stands, a pour has at most one while it does not stand again.
CREATE TABLE corrections (
    sequence                     INTEGER PRIMARY KEY AUTOINCREMENT,
    site                         TEXT NOT NULL REFERENCES sites (name),
    subject                      TEXT NOT NULL,         -- name of a mix or a pour
    kind                         TEXT NOT NULL CHECK (kind IN ('did_not_occur', 'incorrect_data')),
    person                       TEXT NOT NULL,
    reason                       TEXT NOT NULL,
    correct_ms                   INTEGER NOT NULL,
    changes                      TEXT NOT NULL,         -- JSON list of Correction.Change: recorded and right, in words
    right_pour                   TEXT REFERENCES pours (name), -- of a pour: the one that stands instead; null where it did not occur
    a_mass_mg                    INTEGER,               -- of a mix, as it is right; null of a pour
    b_mass_mg                    INTEGER,
    pigment_mass_mg              INTEGER,
    hardener_parts_per_100_resin REAL,
    ratio_deviation_percent      REAL,
    cautions                     TEXT
);
CREATE INDEX corrections_by_subject ON corrections (subject, sequence);
CREATE INDEX corrections_by_right_pour ON corrections (right_pour) WHERE right_pour IS NOT NULL;

-- A corrected event is taken back by one of kind 'corrected', and another stands in its place in the order of what happened.
ALTER TABLE container_events RENAME TO earlier_container_events;
DROP INDEX container_events_by_container;
DROP INDEX container_events_by_lot;
DROP INDEX container_events_by_other;
DROP INDEX container_events_by_mix;
DROP INDEX container_events_filled;
DROP INDEX container_events_received;
CREATE TABLE container_events (
    sequence        INTEGER PRIMARY KEY AUTOINCREMENT,
    container       TEXT NOT NULL REFERENCES containers (name),
    kind            TEXT NOT NULL CHECK (kind IN
                        ('received', 'opened', 'filled', 'decanted', 'mixed', 'weighed', 'moved', 'discarded', 'held', 'released',
                         'corrected')),
    mass_mg         INTEGER NOT NULL,                   -- signed: into the container is positive
    lot             TEXT REFERENCES lots (name),        -- received: from which lot; held, released: because of which
    other_container TEXT REFERENCES containers (name),  -- filled: from which; decanted: into which
    mix             TEXT REFERENCES mixes (name),       -- mixed: into which; corrected: because of which
    site            TEXT REFERENCES sites (name),       -- moved: to which
    reason          TEXT NOT NULL DEFAULT '',
    event_ms        INTEGER NOT NULL,
    correction      INTEGER REFERENCES corrections (sequence), -- what it is due to; null for what was recorded as it happened
    corrects        INTEGER,                            -- corrected: sequence of the event whose mass it takes back
    place           INTEGER                             -- sequence of the event in whose place it stands; null: its own
);
INSERT INTO container_events (sequence, container, kind, mass_mg, lot, other_container, mix, site, reason, event_ms)
SELECT sequence, container, kind, mass_mg, lot, other_container, mix, site, reason, event_ms FROM earlier_container_events ORDER BY sequence;
DROP TABLE earlier_container_events;
CREATE INDEX container_events_by_container ON container_events (container, sequence);
CREATE INDEX container_events_by_lot ON container_events (lot) WHERE lot IS NOT NULL;
CREATE INDEX container_events_by_other ON container_events (other_container) WHERE other_container IS NOT NULL;
CREATE INDEX container_events_by_mix ON container_events (mix) WHERE mix IS NOT NULL;
CREATE INDEX container_events_filled ON container_events (container, sequence) WHERE kind = 'filled';
CREATE INDEX container_events_received ON container_events (container, sequence) WHERE kind = 'received';
CREATE UNIQUE INDEX container_events_corrected ON container_events (corrects) WHERE corrects IS NOT NULL;

-- What happened to containers, as it is right: sequence orders it; recorded_sequence, never less, is that of the row.
CREATE VIEW current_events AS
SELECT coalesce(e.place, e.sequence) AS sequence, e.sequence AS recorded_sequence, e.container, e.kind, e.mass_mg, e.lot,
       e.other_container, e.mix, e.site, e.reason, e.event_ms
  FROM container_events e
 WHERE e.kind <> 'corrected' AND NOT EXISTS (SELECT 1 FROM container_events c WHERE c.corrects = e.sequence);

-- The pours that stand; a layer is counted among those of its piece.
CREATE VIEW current_pours AS
SELECT p.name, p.piece, p.mix, p.bench, p.mass_mg, p.depth_mm, p.pour_ms, p.resin_temperature_celsius, p.surface_temperature_celsius,
       p.pourer, p.deviation_reason,
       (SELECT count(*) FROM pours o
         WHERE o.piece = p.piece AND NOT EXISTS (SELECT 1 FROM corrections x WHERE x.subject = o.name)
           AND (o.pour_ms, o.layer_count, o.record_ms, o.name) <= (p.pour_ms, p.layer_count, p.record_ms, p.name)) AS layer_count,
       p.cautions, p.record_ms
  FROM pours p
 WHERE NOT EXISTS (SELECT 1 FROM corrections c WHERE c.subject = p.name);

-- Mixes with their masses as they are right, and whether they happened at all.
CREATE VIEW corrected_mixes AS
SELECT m.name, m.studio, m.site, m.resin_system, m.mix_ms, m.mixer, m.scale, m.temperature_celsius, m.deviation_reason,
       coalesce(c.a_mass_mg, m.a_mass_mg) AS a_mass_mg, coalesce(c.b_mass_mg, m.b_mass_mg) AS b_mass_mg,
       coalesce(c.pigment_mass_mg, m.pigment_mass_mg) AS pigment_mass_mg,
       coalesce(c.hardener_parts_per_100_resin, m.hardener_parts_per_100_resin) AS hardener_parts_per_100_resin,
       coalesce(c.ratio_deviation_percent, m.ratio_deviation_percent) AS ratio_deviation_percent,
       m.pot_life_end_ms, coalesce(c.cautions, m.cautions) AS cautions, m.record_ms,
       CASE WHEN c.kind = 'did_not_occur' THEN 1 ELSE 0 END AS did_not_occur
  FROM mixes m
  LEFT JOIN corrections c ON c.subject = m.name
   AND c.sequence = (SELECT max(l.sequence) FROM corrections l WHERE l.subject = m.name);

-- The mixes that happened.
CREATE VIEW current_mixes AS SELECT * FROM corrected_mixes WHERE did_not_occur = 0;

-- When the pours of a piece last changed by what people recorded: a forecast of before knows less.
CREATE VIEW pour_changes AS
SELECT piece, record_ms AS change_ms FROM pours
 UNION ALL
SELECT p.piece, c.correct_ms FROM corrections c JOIN pours p ON p.name = c.subject;
