-- The one table of the log on a server, the same as in a file: rows are only ever added; `hash` chains each line to the one before it
-- of the same origin. One studio to a database.
CREATE TABLE event (
    pos    bigint  PRIMARY KEY,               -- order of arrival in this database, without gaps; never hashed, never exported
    origin text    COLLATE "C" NOT NULL,      -- these three repeat the line for indexing; `verify` compares them
    oseq   bigint  NOT NULL,
    id     text    COLLATE "C" NOT NULL,
    line   text    COLLATE "C" NOT NULL,      -- the envelope as JSON, exactly the bytes that were hashed
    hash   bytea   NOT NULL,                  -- SHA-256(tag, hash of the line before, UTF-8 of line)
    again  boolean NOT NULL DEFAULT false,    -- true when a line of this id was here before
    UNIQUE (origin, oseq, hash)               -- (origin, oseq) alone is not unique: both branches of a fork may stand
);

CREATE UNIQUE INDEX event_by_id ON event (id) WHERE NOT again;
CREATE INDEX event_again ON event (id) WHERE again;

CREATE FUNCTION event_stands() RETURNS trigger LANGUAGE plpgsql AS $$
BEGIN
    RAISE EXCEPTION 'the log is append-only: a record is put right or taken back by a later one';
END;
$$;

CREATE TRIGGER event_no_change BEFORE UPDATE OR DELETE ON event
    FOR EACH ROW EXECUTE FUNCTION event_stands();

CREATE TRIGGER event_no_truncate BEFORE TRUNCATE ON event
    FOR EACH STATEMENT EXECUTE FUNCTION event_stands();
