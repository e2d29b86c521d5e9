-- The service's storage. One file holds every garden; ids are UUIDs as text so that a person can read them, times are
-- milliseconds since 1970 in UTC by the server's clock, secrets stand here only as hashes.

-- Somebody who uses the service, whichever gardens they belong to.
CREATE TABLE person (
    id           TEXT PRIMARY KEY,
    name         TEXT NOT NULL,
    sign_in_name TEXT UNIQUE COLLATE NOCASE,  -- chosen together with a passphrase; most people have neither
    passphrase   TEXT,                        -- argon2id, in PHC form
    made_at      INTEGER NOT NULL
) STRICT;

-- A phone or computer that may act for a person until it is revoked.
CREATE TABLE device (
    id         TEXT PRIMARY KEY,
    person     TEXT NOT NULL REFERENCES person (id),
    name       TEXT NOT NULL,
    token      BLOB NOT NULL UNIQUE,           -- SHA-256 of the token in the device's cookie
    garden     TEXT REFERENCES garden (id),    -- set: the device may only see this garden
    made_at    INTEGER NOT NULL,
    last_seen  INTEGER NOT NULL,
    revoked_at INTEGER
) STRICT;
CREATE INDEX device_person ON device (person);

-- A garden. Its name, people and rules stand in its ground document, not here.
CREATE TABLE garden (
    id      TEXT PRIMARY KEY,
    made_at INTEGER NOT NULL
) STRICT;

-- Which member of a garden a person is. A member is at most one person, a person at most one member of a garden.
CREATE TABLE membership (
    person  TEXT NOT NULL REFERENCES person (id),
    garden  TEXT NOT NULL REFERENCES garden (id),
    member  TEXT NOT NULL,                     -- the member's record in the ground document
    made_at INTEGER NOT NULL,
    PRIMARY KEY (person, garden),
    UNIQUE (garden, member)
) STRICT;

-- A coordinator signed a person's device out of one garden; it may still see the person's other gardens.
CREATE TABLE barred (
    device TEXT NOT NULL REFERENCES device (id),
    garden TEXT NOT NULL REFERENCES garden (id),
    at     INTEGER NOT NULL,
    PRIMARY KEY (device, garden)
) STRICT;

-- A link that can be used once.
CREATE TABLE invite (
    id         TEXT PRIMARY KEY,
    secret     BLOB NOT NULL UNIQUE,           -- SHA-256 of the secret in the link
    kind       TEXT NOT NULL CHECK (kind IN ('garden', 'new_garden', 'device')),
    garden     TEXT REFERENCES garden (id),    -- garden: the garden to join; device: the scope of the device that made it
    member     TEXT,                           -- garden: the member to become
    person     TEXT REFERENCES person (id),    -- device: whose further device
    made_by    TEXT REFERENCES person (id),    -- NULL: made on the command line
    made_at    INTEGER NOT NULL,
    expires_at INTEGER NOT NULL,
    used_at    INTEGER,
    revoked_at INTEGER
) STRICT;
CREATE INDEX invite_garden ON invite (garden);

-- Every edit that ever arrived, with the answer it got. Never deleted: this is what makes edits safe to send again.
CREATE TABLE edit (
    garden      TEXT NOT NULL REFERENCES garden (id),
    id          TEXT NOT NULL,
    member      TEXT NOT NULL,                 -- who wrote it
    device      TEXT,                          -- NULL: made on the command line
    body        TEXT NOT NULL,                 -- the envelope as it arrived, JSON
    verdict     TEXT NOT NULL,                 -- what was answered, JSON
    document    TEXT,                          -- accepted: which document it changed ...
    seq         INTEGER,                       -- ... and the number of that change
    received_at INTEGER NOT NULL,
    PRIMARY KEY (garden, id)
) STRICT;

-- The changes of each document, numbered from 1 without gaps. Rows older than the older verified snapshot may go.
CREATE TABLE change (
    garden   TEXT NOT NULL REFERENCES garden (id),
    document TEXT NOT NULL,
    seq      INTEGER NOT NULL CHECK (seq > 0),
    bytes    BLOB NOT NULL,
    PRIMARY KEY (garden, document, seq)
) STRICT;

-- Whole documents up to a change. Only a verified one, loaded back and compared, stands in for change rows.
CREATE TABLE snapshot (
    garden      TEXT NOT NULL REFERENCES garden (id),
    document    TEXT NOT NULL,
    upto_seq    INTEGER NOT NULL,
    heads       TEXT NOT NULL,                 -- JSON list of hashes
    bytes       BLOB NOT NULL,
    made_at     INTEGER NOT NULL,
    verified_at INTEGER,
    PRIMARY KEY (garden, document, upto_seq)
) STRICT;

-- The service's own values: the key of access tokens, and the epoch that tells phones a backup was restored.
CREATE TABLE service (
    name  TEXT PRIMARY KEY,
    value BLOB NOT NULL
) STRICT;
