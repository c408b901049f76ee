-- What stays of a brew that was forgotten and that an attempt or a baseline
-- counts: that it was, when, whose and of what; not how it went.
CREATE TABLE forgotten (
  n        INTEGER PRIMARY KEY,
  id       TEXT NOT NULL UNIQUE, -- the brew's
  person   TEXT NOT NULL,
  recipe   TEXT NOT NULL,
  version  TEXT NOT NULL,
  start    TEXT NOT NULL,
  start_ns INTEGER NOT NULL
) STRICT;

-- What was packed so far has an older form.
DELETE FROM pieces;
