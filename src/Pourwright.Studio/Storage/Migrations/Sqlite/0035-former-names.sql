-- A label keeps the name of its day: what a student was called before, and who shared a name with one who is forgotten.

ALTER TABLE students   ADD COLUMN former_names TEXT    NOT NULL DEFAULT '';  -- a line each, oldest first
ALTER TABLE enrolments ADD COLUMN name_shared  INTEGER NOT NULL DEFAULT 0;   -- 1: somebody of this class who was forgotten bore a name of this student
