-- Moments are whole nanoseconds, masses whole milligrams, temperatures degrees
-- Celsius. A time of day is kept twice: as RFC 3339 text with its own offset,
-- which is the record, and as nanoseconds since 1970 UTC, to sort and filter.

-- Plans and texts are kept once, however many brews follow them.
CREATE TABLE plans (
  n      INTEGER PRIMARY KEY,
  hash   TEXT NOT NULL UNIQUE, -- SHA-256 of the json, hexadecimal
  schema INTEGER NOT NULL,     -- of the json
  json   TEXT NOT NULL
) STRICT;

CREATE TABLE texts (
  n    INTEGER PRIMARY KEY,
  hash TEXT NOT NULL UNIQUE,
  text TEXT NOT NULL
) STRICT;

CREATE TABLE rounds (
  n        INTEGER PRIMARY KEY,
  id       TEXT NOT NULL UNIQUE,
  kind     TEXT NOT NULL CHECK (kind IN ('bar', 'cupping')),
  name     TEXT NOT NULL,
  person   TEXT NOT NULL,
  start    TEXT NOT NULL,
  start_ns INTEGER NOT NULL,
  text     TEXT NOT NULL
) STRICT;

CREATE TABLE takes (
  n        INTEGER PRIMARY KEY,
  id       TEXT NOT NULL UNIQUE,
  routine  TEXT NOT NULL,
  version  TEXT NOT NULL,
  person   TEXT NOT NULL,
  kind     TEXT NOT NULL CHECK (kind IN ('service', 'rehearsal', 'practice', 'demo')),
  speed    REAL NOT NULL CHECK (speed > 0),
  dry      INTEGER NOT NULL CHECK (dry IN (0, 1)),
  section  TEXT NOT NULL,
  start    TEXT NOT NULL,
  start_ns INTEGER NOT NULL,
  text     TEXT NOT NULL
) STRICT;

CREATE INDEX takes_by_routine ON takes (routine COLLATE NOCASE, start_ns);

CREATE TABLE brews (
  n           INTEGER PRIMARY KEY,
  id          TEXT NOT NULL UNIQUE,
  kind        TEXT NOT NULL CHECK (kind IN ('service', 'rehearsal', 'practice', 'demo')),
  speed       REAL NOT NULL CHECK (speed > 0),
  from_ns     INTEGER NOT NULL CHECK (from_ns >= 0),
  marks       TEXT NOT NULL CHECK (marks IN ('asked', 'all', 'none')),
  person      TEXT NOT NULL,
  recipe      TEXT NOT NULL,
  version     TEXT NOT NULL,
  start       TEXT NOT NULL,
  start_ns    INTEGER NOT NULL,
  start_at_ns INTEGER NOT NULL,
  kept        TEXT NOT NULL CHECK (kept IN ('boottime', 'monotonic', 'wall')),
  boot        TEXT NOT NULL,
  zero_ns     INTEGER NOT NULL,
  coffee      TEXT NOT NULL,
  lot         TEXT NOT NULL,
  setting     TEXT NOT NULL,
  kettle      REAL,
  round       INTEGER REFERENCES rounds (n),
  take        INTEGER REFERENCES takes (n),
  lane        INTEGER NOT NULL CHECK (lane >= 0),
  ticket      TEXT NOT NULL,
  plan        INTEGER NOT NULL REFERENCES plans (n),
  text        INTEGER NOT NULL REFERENCES texts (n),
  ended       TEXT CHECK (ended IN ('finished', 'stopped')), -- folded from the events; null where they say nothing
  end_ns      INTEGER,
  why         TEXT NOT NULL DEFAULT '',
  CHECK (round IS NULL OR take IS NULL),
  CHECK ((ended IS NULL) = (end_ns IS NULL))
) STRICT;

CREATE INDEX brews_by_start ON brews (start_ns, id);
CREATE INDEX brews_by_recipe ON brews (recipe COLLATE NOCASE, start_ns, id);
CREATE INDEX brews_by_person ON brews (person COLLATE NOCASE, start_ns, id);
CREATE INDEX brews_by_version ON brews (version, start_ns, id);
CREATE INDEX brews_by_kind ON brews (kind, start_ns, id);
CREATE INDEX brews_by_round ON brews (round) WHERE round IS NOT NULL;
CREATE INDEX brews_by_take ON brews (take) WHERE take IS NOT NULL;
CREATE INDEX brews_by_plan ON brews (plan);
CREATE INDEX brews_by_text ON brews (text);
CREATE INDEX brews_without_end ON brews (start_ns, id) WHERE ended IS NULL;

-- What happened, without a gap from 0. Never changed.
CREATE TABLE events (
  brew      INTEGER NOT NULL REFERENCES brews (n) ON DELETE CASCADE,
  seq       INTEGER NOT NULL CHECK (seq >= 0),
  kind      TEXT NOT NULL,
  lane      INTEGER NOT NULL CHECK (lane >= 0),
  at_ns     INTEGER NOT NULL,
  source    TEXT NOT NULL,
  weight_mg INTEGER,
  text      TEXT NOT NULL,
  from_ns   INTEGER NOT NULL,
  cue       INTEGER NOT NULL,
  to_ns     INTEGER NOT NULL,
  PRIMARY KEY (brew, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE round_events (
  round     INTEGER NOT NULL REFERENCES rounds (n) ON DELETE CASCADE,
  seq       INTEGER NOT NULL CHECK (seq >= 0),
  kind      TEXT NOT NULL,
  lane      INTEGER NOT NULL CHECK (lane >= 0),
  at_ns     INTEGER NOT NULL,
  source    TEXT NOT NULL,
  weight_mg INTEGER,
  text      TEXT NOT NULL,
  from_ns   INTEGER NOT NULL,
  cue       INTEGER NOT NULL,
  to_ns     INTEGER NOT NULL,
  PRIMARY KEY (round, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE take_events (
  take      INTEGER NOT NULL REFERENCES takes (n) ON DELETE CASCADE,
  seq       INTEGER NOT NULL CHECK (seq >= 0),
  kind      TEXT NOT NULL,
  lane      INTEGER NOT NULL CHECK (lane >= 0),
  at_ns     INTEGER NOT NULL,
  source    TEXT NOT NULL,
  weight_mg INTEGER,
  text      TEXT NOT NULL,
  from_ns   INTEGER NOT NULL,
  cue       INTEGER NOT NULL,
  to_ns     INTEGER NOT NULL,
  PRIMARY KEY (take, seq)
) STRICT, WITHOUT ROWID;

-- Never changed: a correction is a new row that replaces an old one, which
-- can be replaced once.
CREATE TABLE readings (
  n        INTEGER PRIMARY KEY,
  id       TEXT NOT NULL UNIQUE,
  brew     INTEGER NOT NULL REFERENCES brews (n) ON DELETE CASCADE,
  what     TEXT NOT NULL,
  value    REAL,
  text     TEXT NOT NULL,
  taken    TEXT NOT NULL,
  person   TEXT NOT NULL,
  replaces TEXT UNIQUE REFERENCES readings (id) DEFERRABLE INITIALLY DEFERRED
) STRICT;

CREATE INDEX readings_by_brew ON readings (brew);

CREATE TABLE weights (
  n        INTEGER PRIMARY KEY,
  id       TEXT NOT NULL UNIQUE,
  brew     INTEGER NOT NULL REFERENCES brews (n) ON DELETE CASCADE,
  beat     TEXT NOT NULL,
  mass_mg  INTEGER,
  source   TEXT NOT NULL,
  taken    TEXT NOT NULL,
  person   TEXT NOT NULL,
  replaces TEXT UNIQUE REFERENCES weights (id) DEFERRABLE INITIALLY DEFERRED
) STRICT;

CREATE INDEX weights_by_brew ON weights (brew);

CREATE TABLE attempts (
  n         INTEGER PRIMARY KEY,
  id        TEXT NOT NULL UNIQUE,
  person    TEXT NOT NULL,
  recipe    TEXT NOT NULL,
  version   TEXT NOT NULL,
  brews     INTEGER NOT NULL CHECK (brews > 0),
  opened    TEXT NOT NULL,
  opened_ns INTEGER NOT NULL,
  closed    TEXT,
  result    TEXT NOT NULL CHECK (result IN ('', 'passed', 'failed', 'withdrawn')),
  text      TEXT NOT NULL,
  CHECK ((closed IS NULL) = (result = ''))
) STRICT;

CREATE INDEX attempts_by_person ON attempts (person COLLATE NOCASE, version, opened_ns);

CREATE TABLE baselines (
  n       INTEGER PRIMARY KEY,
  id      TEXT NOT NULL UNIQUE,
  version TEXT NOT NULL,
  beat    TEXT NOT NULL,
  measure TEXT NOT NULL,
  first   TEXT NOT NULL,
  last    TEXT NOT NULL,
  brews   INTEGER NOT NULL CHECK (brews > 0),
  low     REAL NOT NULL,
  centre  REAL NOT NULL,
  high    REAL NOT NULL,
  made    TEXT NOT NULL,
  made_ns INTEGER NOT NULL,
  person  TEXT NOT NULL
) STRICT;

CREATE INDEX baselines_by_version ON baselines (version, beat, measure, made_ns);

-- A cache of what folding gives, for brews that have ended: one row a beat.
CREATE TABLE beats (
  brew       INTEGER NOT NULL REFERENCES brews (n) ON DELETE CASCADE,
  beat       INTEGER NOT NULL, -- its number in the plan
  key        TEXT NOT NULL,
  owner      TEXT NOT NULL,
  asked      INTEGER NOT NULL,
  status     TEXT NOT NULL,
  early_ns   INTEGER NOT NULL,
  late_ns    INTEGER NOT NULL,
  written_ns INTEGER NOT NULL,
  called_ns  INTEGER NOT NULL,
  marked_ns  INTEGER, -- null where it was not marked
  weight_mg  INTEGER,
  drift_ns   INTEGER GENERATED ALWAYS AS (marked_ns - written_ns) VIRTUAL,
  carried_ns INTEGER GENERATED ALWAYS AS (called_ns - written_ns) VIRTUAL,
  slip_ns    INTEGER GENERATED ALWAYS AS (marked_ns - called_ns) VIRTUAL,
  PRIMARY KEY (brew, beat)
) STRICT, WITHOUT ROWID;
