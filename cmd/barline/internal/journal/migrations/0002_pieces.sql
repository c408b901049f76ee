-- A cache of what statistics take of many brews: for 512 rows of brews in a
-- row, those of one recipe and kind, packed by brew/drift. A piece that is not
-- there is made when it is wanted; one of no brews says that there are none.
CREATE TABLE pieces (
  n        INTEGER PRIMARY KEY,
  recipe   TEXT NOT NULL COLLATE NOCASE,
  kind     TEXT NOT NULL,
  slot     INTEGER NOT NULL, -- the brews' numbers, divided by 512
  brews    INTEGER NOT NULL, -- that are in it,
  cells    INTEGER NOT NULL, -- with so many figures
  left_out INTEGER NOT NULL, -- that cannot be read
  piece    BLOB NOT NULL
) STRICT;

CREATE UNIQUE INDEX pieces_by_recipe ON pieces (recipe, kind, slot);
CREATE INDEX pieces_by_slot ON pieces (slot);

-- Whatever changes a brew takes the pieces of its slot away.
CREATE TRIGGER pieces_brew_added AFTER INSERT ON brews BEGIN
  DELETE FROM pieces WHERE slot = new.n >> 9;
END;
CREATE TRIGGER pieces_brew_changed AFTER UPDATE ON brews BEGIN
  DELETE FROM pieces WHERE slot IN (old.n >> 9, new.n >> 9);
END;
CREATE TRIGGER pieces_brew_forgotten AFTER DELETE ON brews BEGIN
  DELETE FROM pieces WHERE slot = old.n >> 9;
END;
CREATE TRIGGER pieces_event_added AFTER INSERT ON events BEGIN
  DELETE FROM pieces WHERE slot = new.brew >> 9;
END;
CREATE TRIGGER pieces_event_changed AFTER UPDATE ON events BEGIN
  DELETE FROM pieces WHERE slot IN (old.brew >> 9, new.brew >> 9);
END;
CREATE TRIGGER pieces_event_deleted AFTER DELETE ON events BEGIN
  DELETE FROM pieces WHERE slot = old.brew >> 9;
END;
CREATE TRIGGER pieces_weight_added AFTER INSERT ON weights BEGIN
  DELETE FROM pieces WHERE slot = new.brew >> 9;
END;
CREATE TRIGGER pieces_weight_changed AFTER UPDATE ON weights BEGIN
  DELETE FROM pieces WHERE slot IN (old.brew >> 9, new.brew >> 9);
END;
CREATE TRIGGER pieces_weight_deleted AFTER DELETE ON weights BEGIN
  DELETE FROM pieces WHERE slot = old.brew >> 9;
END;
CREATE TRIGGER pieces_plan_changed AFTER UPDATE ON plans BEGIN
  DELETE FROM pieces;
END;
