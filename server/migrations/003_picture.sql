-- A photo or sketch that lies under a garden's plan. Where it lies is in the ground document; here are its bytes, which never change.
CREATE TABLE picture (
    garden  TEXT NOT NULL REFERENCES garden (id),
    id      TEXT NOT NULL,
    kind    TEXT NOT NULL,                     -- jpeg, png or webp, as its first bytes say
    bytes   BLOB NOT NULL,
    made_by TEXT NOT NULL REFERENCES person (id),
    made_at INTEGER NOT NULL,
    PRIMARY KEY (garden, id)
) STRICT;
