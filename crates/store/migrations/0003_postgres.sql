-- When a record ends, where its kind has that, so that the diary reads only the jobs of the days asked for.
ALTER TABLE states ADD COLUMN ends_ms BIGINT;
CREATE INDEX states_by_end ON states (kind, ends_ms, begins_ms);
