-- Schema 1: the chain of entries, and the papers (PDF files) that lots were opened with.
--
-- Why one table of entries: what happened to a lot is a list of events that is only ever added to. A later kind of
-- event (weighed, note, hand-over) needs a new word in `kind`, not a new table and not a change of old rows.
-- Why a chain: `hash` covers the row and the hash before it, so a row changed behind the program's back is noticed.
--   hash = SHA-256 of: previous (32 bytes), then seq in decimal, at, local_offset, kind, lot ('' when null), payload,
--   each as its length in bytes (8 bytes, high byte first) followed by its UTF-8 bytes.
-- Why triggers: no statement of this or any other program that opens the file changes or removes a row by accident.
--
-- This file is never edited once it has shipped; a change is a new file with the next number.

CREATE TABLE entry (
  seq          INTEGER PRIMARY KEY CHECK (seq > 0),
  at           TEXT NOT NULL  -- UTC, RFC 3339, whole seconds
               CHECK (at GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]T[0-2][0-9]:[0-5][0-9]:[0-6][0-9]Z'),
  local_offset TEXT NOT NULL  -- what the maker's clock was ahead of UTC, as ±hh:mm
               CHECK (local_offset GLOB '[+-][0-2][0-9]:[0-5][0-9]'),
  kind         TEXT NOT NULL CHECK (kind GLOB '[a-z]*' AND length(kind) <= 40),
  lot          TEXT           -- null for an entry about no single lot
               CHECK (lot GLOB '[0-9][0-9][0-9][0-9][0-9][A-Z][0-9A-Z]'),
  payload      TEXT NOT NULL CHECK (json_valid(payload)),
  previous     BLOB NOT NULL CHECK (length(previous) = 32),
  hash         BLOB NOT NULL UNIQUE CHECK (length(hash) = 32),
  CHECK (kind <> 'pour' OR lot IS NOT NULL)
) STRICT;

-- a code is given once
CREATE UNIQUE INDEX one_pour_per_lot ON entry (lot) WHERE kind = 'pour';
CREATE INDEX entry_of_lot ON entry (lot);

CREATE TRIGGER entry_joins_the_chain BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entry)
  OR NEW.previous IS NOT coalesce((SELECT hash FROM entry ORDER BY seq DESC LIMIT 1), zeroblob(32))
BEGIN SELECT RAISE(ABORT, 'an entry joins the end of the chain'); END;

CREATE TRIGGER entry_of_an_open_lot BEFORE INSERT ON entry
WHEN NEW.kind <> 'pour' AND NEW.lot IS NOT NULL
  AND NOT EXISTS (SELECT 1 FROM entry WHERE kind = 'pour' AND lot = NEW.lot)
BEGIN SELECT RAISE(ABORT, 'no such lot was opened'); END;

CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never changed'); END;

CREATE TRIGGER entry_is_not_removed BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are never removed'); END;

CREATE TABLE paper (
  sha256 BLOB PRIMARY KEY CHECK (length(sha256) = 32),
  what   TEXT NOT NULL CHECK (what IN ('label', 'batch sheet')),
  bytes  BLOB NOT NULL
) STRICT;

-- also stops INSERT OR REPLACE, which would remove the old row without asking the trigger on DELETE
CREATE TRIGGER paper_is_stored_once BEFORE INSERT ON paper
WHEN EXISTS (SELECT 1 FROM paper WHERE sha256 = NEW.sha256)
BEGIN SELECT RAISE(ABORT, 'this paper is stored already'); END;

CREATE TRIGGER paper_is_not_changed BEFORE UPDATE ON paper
BEGIN SELECT RAISE(ABORT, 'papers are never changed'); END;

CREATE TRIGGER paper_is_not_removed BEFORE DELETE ON paper
BEGIN SELECT RAISE(ABORT, 'papers are never removed'); END;
