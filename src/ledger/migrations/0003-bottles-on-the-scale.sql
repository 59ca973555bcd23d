-- Schema 3: entries of the kind `bottle`, a bottle's weight before and after it was poured from.
--
-- Why a schema for a new word: a program that does not know the word must say that the ledger is from a later version,
-- and not that an entry is odd. No row of an earlier schema changes.
--
-- This file is never edited once it has shipped; a change is a new file with the next number.

CREATE TRIGGER bottle_belongs_to_a_lot BEFORE INSERT ON entry
WHEN NEW.kind = 'bottle' AND NEW.lot IS NULL
BEGIN SELECT RAISE(ABORT, 'a bottle is weighed for a lot'); END;

-- entries about no lot (deliveries, recalls) without walking through all others
CREATE INDEX entry_of_no_lot ON entry (kind, seq) WHERE lot IS NULL;
