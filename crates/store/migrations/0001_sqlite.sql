-- The workshop's memory. Text compares byte by byte, times are milliseconds since 1970-01-01 UTC, bodies are JSON.

-- Every record as it stands now. gone = 1: removed, kept for its history.
CREATE TABLE records (
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    version BIGINT NOT NULL,
    gone BIGINT NOT NULL,
    updated_ms BIGINT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (kind, id)
);

-- Every change ever made; rows are added, never changed. Rows of one deed share deed_no, the seq of the first.
CREATE TABLE history (
    seq BIGINT NOT NULL PRIMARY KEY,
    deed_no BIGINT NOT NULL,
    at_ms BIGINT NOT NULL,
    who TEXT NOT NULL,
    device TEXT NOT NULL,
    deed TEXT NOT NULL,
    why TEXT NOT NULL,
    undoes BIGINT,
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    version BIGINT NOT NULL,
    before_body TEXT,
    after_body TEXT
);
CREATE INDEX history_by_record ON history (kind, id, version);
CREATE INDEX history_by_deed ON history (deed_no);

-- Which record names which other; derived from bodies.
CREATE TABLE links (
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    to_kind TEXT NOT NULL,
    to_id TEXT NOT NULL,
    PRIMARY KEY (kind, id, to_kind, to_id),
    FOREIGN KEY (kind, id) REFERENCES records (kind, id),
    FOREIGN KEY (to_kind, to_id) REFERENCES records (kind, id)
);
CREATE INDEX links_back ON links (to_kind, to_id, kind, id);

-- What search finds a record by, folded; derived from bodies.
CREATE TABLE search_terms (
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    class TEXT NOT NULL,
    term TEXT NOT NULL,
    PRIMARY KEY (kind, id, class, term),
    FOREIGN KEY (kind, id) REFERENCES records (kind, id)
);
CREATE INDEX search_terms_by_class ON search_terms (class, term);

-- Ramps held by jobs; derived from bodies.
CREATE TABLE bookings (
    job TEXT NOT NULL PRIMARY KEY,
    ramp TEXT NOT NULL,
    from_ms BIGINT NOT NULL,
    to_ms BIGINT NOT NULL
);
CREATE INDEX bookings_by_ramp ON bookings (ramp, from_ms);

-- Answers to writes with a client-made key.
CREATE TABLE write_keys (
    write_key TEXT NOT NULL PRIMARY KEY,
    asked TEXT NOT NULL,
    result TEXT NOT NULL,
    at_ms BIGINT NOT NULL
);
CREATE INDEX write_keys_by_time ON write_keys (at_ms);

-- Sessions, tokens and codes; of the secret itself only its digest is kept.
CREATE TABLE secrets (
    digest TEXT NOT NULL PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    purpose TEXT NOT NULL,
    owner TEXT NOT NULL,
    device TEXT NOT NULL,
    scope TEXT NOT NULL,
    made_ms BIGINT NOT NULL,
    used_ms BIGINT NOT NULL,
    idle_ms BIGINT,
    ends_ms BIGINT,
    ended_ms BIGINT
);
CREATE INDEX secrets_by_owner ON secrets (purpose, owner);

-- Hashes of passwords and PINs, made elsewhere.
CREATE TABLE passwords (
    owner TEXT NOT NULL PRIMARY KEY,
    hash TEXT NOT NULL,
    set_ms BIGINT NOT NULL
);

-- Failed sign-ins, for the limit on guessing.
CREATE TABLE failed_tries (
    account TEXT NOT NULL,
    device TEXT NOT NULL,
    at_ms BIGINT NOT NULL
);
CREATE INDEX failed_tries_by_account ON failed_tries (account, device, at_ms);

-- Photos, documents and papers, named by the SHA-256 of their bytes.
CREATE TABLE files (
    digest TEXT NOT NULL PRIMARY KEY,
    media_type TEXT NOT NULL,
    size_bytes BIGINT NOT NULL,
    added_ms BIGINT NOT NULL,
    content BLOB NOT NULL
);
