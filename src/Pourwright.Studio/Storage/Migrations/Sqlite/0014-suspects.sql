-- Alarms of the watch over defects that people were told of, each once. Everything else about suspects is reckoned anew.

CREATE TABLE site_alarms (
    site        TEXT    NOT NULL REFERENCES sites (name),
    watched     TEXT    NOT NULL,                       -- which defects, see Suspects/DefectKinds
    first_piece TEXT    NOT NULL REFERENCES pieces (name),
    last_piece  TEXT    NOT NULL REFERENCES pieces (name),
    notice_ms   INTEGER NOT NULL,
    PRIMARY KEY (site, watched, first_piece)
);
