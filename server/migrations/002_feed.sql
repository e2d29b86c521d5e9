-- A person's calendar link. What it shows is worked out from the gardens when it is asked for.
CREATE TABLE feed (
    secret     BLOB PRIMARY KEY,               -- SHA-256 of the secret in the link
    person     TEXT NOT NULL REFERENCES person (id),
    garden     TEXT REFERENCES garden (id),    -- set: only this garden, as the device that made it
    made_at    INTEGER NOT NULL,
    revoked_at INTEGER
) STRICT;
CREATE INDEX feed_person ON feed (person);
