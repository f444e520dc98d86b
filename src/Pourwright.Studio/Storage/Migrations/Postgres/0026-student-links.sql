-- What the columns hold is said in Sqlite/0026-student-links.sql.

CREATE TABLE student_links (
    name TEXT PRIMARY KEY,
    studio TEXT NOT NULL REFERENCES studios (name),
    enrolment TEXT REFERENCES enrolments (name),
    piece TEXT REFERENCES pieces (name),
    student TEXT REFERENCES students (name),
    link_sha256 BYTEA NOT NULL UNIQUE,
    create_ms BIGINT NOT NULL,
    expire_ms BIGINT NOT NULL,
    revoke_ms BIGINT,
    CHECK ((enrolment IS NULL) <> (piece IS NULL))
);
CREATE INDEX student_links_by_studio ON student_links (studio, name);
CREATE INDEX student_links_by_student ON student_links (student);

CREATE INDEX pieces_by_class ON pieces (casting_class);
