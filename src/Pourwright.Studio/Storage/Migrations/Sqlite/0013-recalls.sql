-- Recalls and drills, what is held because of them, who is told, what they answered, and how finely scales weigh.

-- A piece is held as long as the last event of any cause says so; the same for a lot or a container. Only ever inserted.
-- cause: the recall or the defect it is held for; empty where a person held it without one.
CREATE TABLE piece_holds (
    sequence INTEGER PRIMARY KEY AUTOINCREMENT,
    piece    TEXT NOT NULL REFERENCES pieces (name),
    kind     TEXT NOT NULL CHECK (kind IN ('held', 'released')),
    cause    TEXT NOT NULL,
    reason   TEXT NOT NULL,
    person   TEXT NOT NULL,
    event_ms INTEGER NOT NULL
);
CREATE INDEX piece_holds_by_piece ON piece_holds (piece, cause, sequence);
CREATE INDEX piece_holds_by_cause ON piece_holds (cause, piece, sequence) WHERE cause <> '';

CREATE TABLE stock_holds (
    sequence INTEGER PRIMARY KEY AUTOINCREMENT,
    subject  TEXT NOT NULL,                             -- name of a lot or a container
    kind     TEXT NOT NULL CHECK (kind IN ('held', 'released')),
    cause    TEXT NOT NULL,
    reason   TEXT NOT NULL,
    person   TEXT NOT NULL,
    event_ms INTEGER NOT NULL
);
CREATE INDEX stock_holds_by_subject ON stock_holds (subject, cause, sequence);

-- A recall or a drill with its list as it was found, frozen: inserted once.
CREATE TABLE recalls (
    name              TEXT PRIMARY KEY,
    studio            TEXT NOT NULL REFERENCES studios (name),
    drill             INTEGER NOT NULL,
    scope             TEXT NOT NULL,                    -- name of a lot, container, mix, piece or site
    scope_date        TEXT,                             -- yyyy-MM-dd by the clock of the site; of a site alone
    reason            TEXT NOT NULL,
    starter           TEXT NOT NULL,
    start_ms          INTEGER NOT NULL,
    list_ms           INTEGER NOT NULL,
    hold_ms           INTEGER,                          -- null: holds nothing
    piece_count       INTEGER NOT NULL,
    handed_over_count INTEGER NOT NULL,
    stock_mass_mg     INTEGER NOT NULL,
    person_count      INTEGER NOT NULL,
    reachable_count   INTEGER NOT NULL,
    found             TEXT NOT NULL                     -- Recall as protobuf JSON: list, gaps and, of a drill, whom and what it showed; read whole
);
CREATE INDEX recalls_by_studio ON recalls (studio, start_ms, name);

-- One a person to tell. Whom it concerns and where it goes stay; only the chase moves on.
CREATE TABLE recall_notices (
    name            TEXT PRIMARY KEY,
    recall          TEXT NOT NULL REFERENCES recalls (name),
    position        INTEGER NOT NULL,
    role            INTEGER NOT NULL,                   -- RecallNotice.Role
    person          TEXT NOT NULL,                      -- what people call them; empty where nobody knows
    recipient       TEXT NOT NULL,                      -- a student by name, else what people call them
    email           TEXT NOT NULL,                      -- empty: nothing is sent
    obstacle        TEXT NOT NULL,                      -- why nothing is sent
    site            TEXT NOT NULL REFERENCES sites (name),
    pieces          TEXT NOT NULL,                      -- JSON list of names
    chase_count     INTEGER NOT NULL DEFAULT 0,
    chase_due_ms    INTEGER,                            -- null: nobody chases it any more
    hand_over_ms    INTEGER                             -- when the owner was asked to go after it
);
CREATE INDEX recall_notices_by_recall ON recall_notices (recall, position);
CREATE INDEX recall_notices_due ON recall_notices (chase_due_ms) WHERE chase_due_ms IS NOT NULL;

-- What somebody answered; the last one counts. Only ever inserted.
CREATE TABLE recall_answers (
    sequence  INTEGER PRIMARY KEY AUTOINCREMENT,
    notice    TEXT NOT NULL REFERENCES recall_notices (name),
    answer    INTEGER NOT NULL,                         -- RecallNotice.Answer
    person    TEXT NOT NULL,                            -- who recorded it
    note      TEXT NOT NULL,
    answer_ms INTEGER NOT NULL
);
CREATE INDEX recall_answers_by_notice ON recall_answers (notice, sequence);

-- How a recall ended: inserted once.
CREATE TABLE recall_closes (
    recall   TEXT PRIMARY KEY REFERENCES recalls (name),
    outcome  TEXT NOT NULL,
    gaps     TEXT NOT NULL,                             -- JSON list of sentences
    closer   TEXT NOT NULL,
    released INTEGER NOT NULL,                          -- what was held for it was released
    close_ms INTEGER NOT NULL
);

-- The step of a scale's display and what a pot keeps back; scale '' is what holds for the others of its site.
CREATE TABLE scales (
    site            TEXT NOT NULL REFERENCES sites (name),
    scale           TEXT NOT NULL,                      -- as mixes spell it
    resolution_mg   INTEGER NOT NULL CHECK (resolution_mg > 0),
    pot_residue_mg  INTEGER NOT NULL CHECK (pot_residue_mg >= 0),
    PRIMARY KEY (site, scale)
) WITHOUT ROWID;

-- A list of a day at a site.
CREATE INDEX mixes_by_site ON mixes (site, mix_ms);
CREATE INDEX pours_by_bench ON pours (bench, pour_ms);
