-- What one student is shown. Of a link only a hash is kept: who reads this file cannot open it.

CREATE TABLE student_links (
    name        TEXT    PRIMARY KEY,
    studio      TEXT    NOT NULL REFERENCES studios (name),
    enrolment   TEXT    REFERENCES enrolments (name),   -- one of these two
    piece       TEXT    REFERENCES pieces (name),
    student     TEXT    REFERENCES students (name),     -- null: nobody on record
    link_sha256 BLOB    NOT NULL UNIQUE,
    create_ms   INTEGER NOT NULL,
    expire_ms   INTEGER NOT NULL,
    revoke_ms   INTEGER,
    CHECK ((enrolment IS NULL) <> (piece IS NULL))
);
CREATE INDEX student_links_by_studio ON student_links (studio, name);
CREATE INDEX student_links_by_student ON student_links (student);

-- A student's page asks for the pieces of a class.
CREATE INDEX pieces_by_class ON pieces (casting_class);
