-- Schema 2: what can be asked quickly of the chain: material lots, units, hand-overs, label versions, sheet revisions.
--
-- Why derived tables: the chain stays the one truth. Every row here is computed from one entry, in the transaction that
-- adds it, and `verify` computes all of them again from the chain and compares. The constraints say what must never be.
-- Why signed rows: a correction is a new entry, and its rows undo those of the old one; no row is ever changed.
-- Why buyers stand apart: an entry holds a buyer's number and a salted digest of the name, so that a name can be blanked
-- (the one change this file allows) while counts and chain stay as they are.
--
-- This file is never edited once it has shipped; a change is a new file with the next number.

CREATE TABLE material_lot (
  id           INTEGER PRIMARY KEY CHECK (id > 0),
  material     TEXT NOT NULL CHECK (length(material) > 0),
  supplier_lot TEXT NOT NULL CHECK (length(supplier_lot) > 0),
  unit         TEXT NOT NULL CHECK (unit IN ('ng', 'pieces')),
  UNIQUE (material, supplier_lot)
) STRICT;
CREATE INDEX material_lot_by_supplier_lot ON material_lot (supplier_lot);

-- what came in, once a delivery
CREATE TABLE receipt (
  seq           INTEGER PRIMARY KEY REFERENCES entry (seq),
  material_lot  INTEGER NOT NULL REFERENCES material_lot (id),
  received      TEXT NOT NULL CHECK (received GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  supplier      TEXT,
  amount        INTEGER NOT NULL CHECK (amount > 0),
  material_hash BLOB NOT NULL CHECK (length(material_hash) = 32),
  sheet_date    TEXT CHECK (sheet_date GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  sheet_revision TEXT,
  sheet_hash    BLOB CHECK (length(sheet_hash) = 32),
  origin        TEXT  -- the lot that was melted down again
                REFERENCES lot (code)
) STRICT;
CREATE INDEX receipt_of_material_lot ON receipt (material_lot);
CREATE INDEX receipt_by_sheet ON receipt (sheet_hash) WHERE sheet_hash IS NOT NULL;
CREATE INDEX receipt_by_origin ON receipt (origin) WHERE origin IS NOT NULL;

CREATE TABLE lot (
  code         TEXT PRIMARY KEY,
  seq          INTEGER NOT NULL UNIQUE REFERENCES entry (seq),
  product      TEXT NOT NULL,
  product_hash BLOB NOT NULL CHECK (length(product_hash) = 32),
  label_hash   BLOB NOT NULL CHECK (length(label_hash) = 32),
  poured       TEXT NOT NULL,
  planned      INTEGER NOT NULL CHECK (planned > 0),
  cure_until   TEXT
) STRICT;
CREATE INDEX lot_by_label ON lot (label_hash);
CREATE INDEX lot_by_product ON lot (product);

-- which units of a lot hold how much of which material lot
CREATE TABLE draw (
  seq          INTEGER NOT NULL REFERENCES entry (seq),
  material_lot INTEGER NOT NULL REFERENCES material_lot (id),
  lot          TEXT NOT NULL REFERENCES lot (code),
  amount       INTEGER NOT NULL CHECK (amount > 0),
  first_unit   INTEGER NOT NULL CHECK (first_unit >= 1),
  last_unit    INTEGER NOT NULL CHECK (last_unit >= first_unit),
  PRIMARY KEY (seq, material_lot)
) STRICT;
CREATE INDEX draw_of_material_lot ON draw (material_lot, lot, first_unit, last_unit);
CREATE INDEX draw_of_lot ON draw (lot);

CREATE TRIGGER draw_within_its_lot BEFORE INSERT ON draw
WHEN NEW.last_unit > (SELECT planned FROM lot WHERE code = NEW.lot)
BEGIN SELECT RAISE(ABORT, 'a lot has no such unit'); END;

-- nanograms or pieces in the store, signed; a draw is a move as well
CREATE TABLE stock_move (
  seq          INTEGER NOT NULL REFERENCES entry (seq),
  material_lot INTEGER NOT NULL REFERENCES material_lot (id),
  amount       INTEGER NOT NULL CHECK (amount <> 0),
  PRIMARY KEY (seq, material_lot)
) STRICT;
CREATE INDEX stock_of_material_lot ON stock_move (material_lot, amount);

CREATE TRIGGER stock_is_never_negative BEFORE INSERT ON stock_move
WHEN NEW.amount < 0
  AND NEW.amount + (SELECT coalesce(sum(amount), 0) FROM stock_move WHERE material_lot = NEW.material_lot) < 0
BEGIN SELECT RAISE(ABORT, 'there is not so much of this material lot'); END;

-- units of a lot, signed; on hand is: made - scrapped - retained - handed over - missing
CREATE TABLE unit_move (
  seq   INTEGER NOT NULL REFERENCES entry (seq),
  lot   TEXT NOT NULL REFERENCES lot (code),
  what  TEXT NOT NULL CHECK (what IN ('made', 'scrapped', 'retained', 'handed over', 'missing')),
  units INTEGER NOT NULL CHECK (units <> 0),
  PRIMARY KEY (seq, what)
) STRICT;
CREATE INDEX units_of_lot ON unit_move (lot, what, units);

CREATE TRIGGER units_are_never_negative BEFORE INSERT ON unit_move
WHEN NEW.units + (SELECT coalesce(sum(units), 0) FROM unit_move WHERE lot = NEW.lot AND what = NEW.what) < 0
  AND NEW.what <> 'missing'
BEGIN SELECT RAISE(ABORT, 'fewer than no units'); END;

CREATE TRIGGER no_more_than_on_hand AFTER INSERT ON unit_move
WHEN (SELECT sum(CASE what WHEN 'made' THEN units ELSE -units END) FROM unit_move WHERE lot = NEW.lot) < 0
BEGIN SELECT RAISE(ABORT, 'there are not so many units on hand'); END;

CREATE TABLE buyer (
  id      INTEGER PRIMARY KEY CHECK (id > 0),
  name    TEXT,
  contact TEXT,
  salt    BLOB CHECK (length(salt) = 16),
  CHECK ((name IS NULL) = (salt IS NULL) AND (name IS NOT NULL OR contact IS NULL))
) STRICT;
CREATE INDEX buyer_by_name ON buyer (name) WHERE name IS NOT NULL;

CREATE TABLE hand_over (
  seq        INTEGER PRIMARY KEY REFERENCES entry (seq),
  lot        TEXT NOT NULL REFERENCES lot (code),
  buyer      INTEGER NOT NULL REFERENCES buyer (id),
  day        TEXT NOT NULL CHECK (day GLOB '[0-9][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
  way        TEXT NOT NULL CHECK (way IN ('sale', 'gift', 'sample', 'own use')),
  units      INTEGER NOT NULL CHECK (units > 0),
  first_unit INTEGER CHECK (first_unit >= 1),
  last_unit  INTEGER CHECK (last_unit - first_unit + 1 = units),
  forced     TEXT,
  CHECK ((first_unit IS NULL) = (last_unit IS NULL))
) STRICT;
CREATE INDEX hand_over_of_lot ON hand_over (lot);
CREATE INDEX hand_over_to_buyer ON hand_over (buyer);

-- an entry is corrected once; a second slip is a correction of what was entered instead
CREATE TABLE correction (
  corrected INTEGER PRIMARY KEY REFERENCES entry (seq),
  seq       INTEGER NOT NULL REFERENCES entry (seq) CHECK (seq > corrected)
) STRICT;

CREATE TRIGGER material_lot_is_not_changed BEFORE UPDATE ON material_lot BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER material_lot_is_not_removed BEFORE DELETE ON material_lot BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER receipt_is_not_changed BEFORE UPDATE ON receipt BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER receipt_is_not_removed BEFORE DELETE ON receipt BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER lot_is_not_changed BEFORE UPDATE ON lot BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER lot_is_not_removed BEFORE DELETE ON lot BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER draw_is_not_changed BEFORE UPDATE ON draw BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER draw_is_not_removed BEFORE DELETE ON draw BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER stock_move_is_not_changed BEFORE UPDATE ON stock_move BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER stock_move_is_not_removed BEFORE DELETE ON stock_move BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER unit_move_is_not_changed BEFORE UPDATE ON unit_move BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER unit_move_is_not_removed BEFORE DELETE ON unit_move BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER hand_over_is_not_changed BEFORE UPDATE ON hand_over BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER hand_over_is_not_removed BEFORE DELETE ON hand_over BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER correction_is_not_changed BEFORE UPDATE ON correction BEGIN SELECT RAISE(ABORT, 'never changed'); END;
CREATE TRIGGER correction_is_not_removed BEFORE DELETE ON correction BEGIN SELECT RAISE(ABORT, 'never removed'); END;
CREATE TRIGGER buyer_is_not_removed BEFORE DELETE ON buyer BEGIN SELECT RAISE(ABORT, 'never removed'); END;
-- the one change there is: a name is blanked
CREATE TRIGGER buyer_is_only_blanked BEFORE UPDATE ON buyer
WHEN NEW.id <> OLD.id OR NEW.name IS NOT NULL OR NEW.contact IS NOT NULL OR NEW.salt IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a buyer can only be forgotten'); END;
