-- The workshop's memory. Text compares byte by byte, times are milliseconds since 1970-01-01 UTC, bodies are JSON.

-- Every record as it stands now. gone = 1: removed, kept for its history.
CREATE TABLE records (
    kind TEXT COLLATE "C" NOT NULL,
    id TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    gone BIGINT NOT NULL,
    updated_ms BIGINT NOT NULL,
    body TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (kind, id)
);

-- Every change ever made; rows are added, never changed. Rows of one deed share deed_no, the seq of the first.
CREATE TABLE history (
    seq BIGINT NOT NULL PRIMARY KEY,
    deed_no BIGINT NOT NULL,
    at_ms BIGINT NOT NULL,
    who TEXT COLLATE "C" NOT NULL,
    device TEXT COLLATE "C" NOT NULL,
    deed TEXT COLLATE "C" NOT NULL,
    why TEXT COLLATE "C" NOT NULL,
    undoes BIGINT,
    kind TEXT COLLATE "C" NOT NULL,
    id TEXT COLLATE "C" NOT NULL,
    version BIGINT NOT NULL,
    before_body TEXT COLLATE "C",
    after_body TEXT COLLATE "C"
);
CREATE INDEX history_by_record ON history (kind, id, version);
CREATE INDEX history_by_deed ON history (deed_no);

-- Which record names which other; derived from bodies.
CREATE TABLE links (
    kind TEXT COLLATE "C" NOT NULL,
    id TEXT COLLATE "C" NOT NULL,
    to_kind TEXT COLLATE "C" NOT NULL,
    to_id TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (kind, id, to_kind, to_id),
    FOREIGN KEY (kind, id) REFERENCES records (kind, id),
    FOREIGN KEY (to_kind, to_id) REFERENCES records (kind, id)
);
CREATE INDEX links_back ON links (to_kind, to_id, kind, id);

-- What search finds a record by, folded; derived from bodies.
CREATE TABLE search_terms (
    kind TEXT COLLATE "C" NOT NULL,
    id TEXT COLLATE "C" NOT NULL,
    class TEXT COLLATE "C" NOT NULL,
    term TEXT COLLATE "C" NOT NULL,
    PRIMARY KEY (kind, id, class, term),
    FOREIGN KEY (kind, id) REFERENCES records (kind, id)
);
CREATE INDEX search_terms_by_class ON search_terms (class, term);

-- Ramps held by jobs; derived from bodies.
CREATE TABLE bookings (
    job TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    ramp TEXT COLLATE "C" NOT NULL,
    from_ms BIGINT NOT NULL,
    to_ms BIGINT NOT NULL
);
CREATE INDEX bookings_by_ramp ON bookings (ramp, from_ms);

-- Answers to writes with a client-made key.
CREATE TABLE write_keys (
    write_key TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    asked TEXT COLLATE "C" NOT NULL,
    result TEXT COLLATE "C" NOT NULL,
    at_ms BIGINT NOT NULL
);
CREATE INDEX write_keys_by_time ON write_keys (at_ms);

-- Sessions, tokens and codes; of the secret itself only its digest is kept.
CREATE TABLE secrets (
    digest TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    id TEXT COLLATE "C" NOT NULL UNIQUE,
    purpose TEXT COLLATE "C" NOT NULL,
    owner TEXT COLLATE "C" NOT NULL,
    device TEXT COLLATE "C" NOT NULL,
    scope TEXT COLLATE "C" NOT NULL,
    made_ms BIGINT NOT NULL,
    used_ms BIGINT NOT NULL,
    idle_ms BIGINT,
    ends_ms BIGINT,
    ended_ms BIGINT
);
CREATE INDEX secrets_by_owner ON secrets (purpose, owner);

-- Hashes of passwords and PINs, made elsewhere.
CREATE TABLE passwords (
    owner TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    hash TEXT COLLATE "C" NOT NULL,
    set_ms BIGINT NOT NULL
);

-- Failed sign-ins, for the limit on guessing.
CREATE TABLE failed_tries (
    account TEXT COLLATE "C" NOT NULL,
    device TEXT COLLATE "C" NOT NULL,
    at_ms BIGINT NOT NULL
);
CREATE INDEX failed_tries_by_account ON failed_tries (account, device, at_ms);

-- Photos, documents and papers, named by the SHA-256 of their bytes.
CREATE TABLE files (
    digest TEXT COLLATE "C" NOT NULL PRIMARY KEY,
    media_type TEXT COLLATE "C" NOT NULL,
    size_bytes BIGINT NOT NULL,
    added_ms BIGINT NOT NULL,
    content BYTEA NOT NULL
);
