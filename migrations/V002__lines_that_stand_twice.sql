-- The same entry can come by two chains: a page that was sent again after an old copy was put back, or one notebook brought in
-- on two machines. Both lines stand, since each chain needs its own; `again` marks the ones that came later. One index then
-- serves chains and hashes, and both of its ends grow at their end.
DROP TRIGGER event_no_update;
DROP TRIGGER event_no_delete;
DROP TRIGGER event_no_replace;

CREATE TABLE event_new (
    pos    INTEGER PRIMARY KEY AUTOINCREMENT, -- order of arrival on this machine; never hashed, never exported
    origin TEXT    NOT NULL,                  -- these three repeat the line for indexing; `verify` compares them
    oseq   INTEGER NOT NULL,
    id     TEXT    NOT NULL,
    line   TEXT    NOT NULL,                  -- the envelope as JSON, exactly the bytes that were hashed
    hash   BLOB    NOT NULL,                  -- SHA-256(tag, hash of the line before, UTF-8 of line)
    again  INTEGER NOT NULL DEFAULT 0,        -- 1 when a line of this id was here before
    UNIQUE (origin, oseq, hash)               -- (origin, oseq) alone is not unique: both branches of a fork may stand
) STRICT;

INSERT INTO event_new (pos, origin, oseq, id, line, hash) SELECT pos, origin, oseq, id, line, hash FROM event ORDER BY pos;

-- Positions that were given out and are gone must stay given out.
UPDATE sqlite_sequence SET seq = (SELECT seq FROM sqlite_sequence WHERE name = 'event') WHERE name = 'event_new';

DROP TABLE event;
ALTER TABLE event_new RENAME TO event;

CREATE UNIQUE INDEX event_by_id ON event (id) WHERE NOT again;
CREATE INDEX event_again ON event (id) WHERE again;

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
  OR NOT NEW.again AND EXISTS (SELECT 1 FROM event WHERE id = NEW.id AND NOT again)
  OR EXISTS (SELECT 1 FROM event WHERE origin = NEW.origin AND oseq = NEW.oseq AND hash = NEW.hash)
BEGIN
    SELECT RAISE(ABORT, 'the log is append-only: this row is already there');
END;
