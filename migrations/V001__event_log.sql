-- The one table of the log. Rows are only ever added; `hash` chains each line to the one before it of the same origin.
CREATE TABLE event (
    pos    INTEGER PRIMARY KEY AUTOINCREMENT, -- order of arrival on this machine; never hashed, never exported
    origin TEXT    NOT NULL,                  -- these three repeat the line for indexing; `verify` compares them
    oseq   INTEGER NOT NULL,
    id     TEXT    NOT NULL UNIQUE,
    line   TEXT    NOT NULL,                  -- the envelope as JSON, exactly the bytes that were hashed
    hash   BLOB    NOT NULL UNIQUE            -- SHA-256(tag, hash of the line before, UTF-8 of line)
) STRICT;

-- Not unique: both branches of a fork may stand.
CREATE INDEX event_by_origin ON event (origin, oseq);

CREATE TRIGGER event_no_update BEFORE UPDATE ON event
BEGIN
    SELECT RAISE(ABORT, 'the log is append-only: a record is put right by a later one');
END;

CREATE TRIGGER event_no_delete BEFORE DELETE ON event
BEGIN
    SELECT RAISE(ABORT, 'the log is append-only: a record is taken back by a later one');
END;

CREATE TRIGGER event_no_replace BEFORE INSERT ON event
WHEN EXISTS (SELECT 1 FROM event WHERE pos = NEW.pos)
  OR EXISTS (SELECT 1 FROM event WHERE id = NEW.id)
  OR EXISTS (SELECT 1 FROM event WHERE hash = NEW.hash)
BEGIN
    SELECT RAISE(ABORT, 'the log is append-only: this row is already there');
END;
