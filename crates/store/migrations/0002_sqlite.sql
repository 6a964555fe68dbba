-- How far a record is and when it begins, where its kind has that; derived from bodies.
CREATE TABLE states (
    kind TEXT NOT NULL,
    id TEXT NOT NULL,
    state TEXT NOT NULL,
    begins_ms BIGINT,
    PRIMARY KEY (kind, id),
    FOREIGN KEY (kind, id) REFERENCES records (kind, id)
);
CREATE INDEX states_by_state ON states (kind, state, id);
