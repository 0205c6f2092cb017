-- Why: reorganising. Bins have room, a weight limit and kinds, and retire when they are empty; items have a size and a
-- weight; it is known which listings still show an old code; a plan of moves is kept while it is carried out. Labels
-- that became wrong are printed again as they looked, many looks in a run.

CREATE TABLE bin_kind (
    name      TEXT PRIMARY KEY,
    -- Millilitres, grams, and inner measures in millimetres as 580x380x280.
    volume    INTEGER CHECK (volume > 0),
    max_grams INTEGER CHECK (max_grams > 0),
    inside    TEXT
) STRICT;

-- What bins have of their own; else what their kind has.
ALTER TABLE bin ADD COLUMN kind TEXT REFERENCES bin_kind;
ALTER TABLE bin ADD COLUMN volume INTEGER CHECK (volume > 0);
ALTER TABLE bin ADD COLUMN max_grams INTEGER CHECK (max_grams > 0);
ALTER TABLE bin ADD COLUMN inside TEXT;
-- Since when it is not used any more. Its code stays known.
ALTER TABLE bin ADD COLUMN retired TEXT;

-- Named sizes that their user has set; the others are the program's own.
CREATE TABLE item_size (
    name   TEXT PRIMARY KEY,
    volume INTEGER NOT NULL CHECK (volume > 0)
) STRICT;

ALTER TABLE item ADD COLUMN volume INTEGER CHECK (volume > 0);
-- Outer measures in millimetres, as 300x200x100.
ALTER TABLE item ADD COLUMN measures TEXT;
-- The name of a size.
ALTER TABLE item ADD COLUMN size TEXT;
ALTER TABLE item ADD COLUMN grams INTEGER CHECK (grams > 0);
-- The code that its listing still shows, where that is not the present one.
ALTER TABLE item ADD COLUMN listing_code TEXT;
CREATE INDEX item_listing_code ON item (listing_code) WHERE listing_code IS NOT NULL;

CREATE TABLE regroup (
    id      INTEGER PRIMARY KEY,
    at      TEXT NOT NULL,
    state   TEXT NOT NULL CHECK (state IN ('open', 'done', 'dropped')),
    -- What was asked for, and how good the plan is, as JSON.
    asked   TEXT NOT NULL,
    outcome TEXT NOT NULL
) STRICT;

CREATE TABLE regroup_move (
    id       INTEGER PRIMARY KEY,
    regroup  INTEGER NOT NULL REFERENCES regroup,
    item     INTEGER NOT NULL REFERENCES item,
    source   INTEGER NOT NULL REFERENCES bin,
    target   INTEGER NOT NULL REFERENCES bin,
    -- The trips, from 1, on which it is taken and put; in between it waits in the holding box.
    taken_on INTEGER NOT NULL CHECK (taken_on > 0),
    put_on   INTEGER NOT NULL CHECK (put_on >= taken_on),
    -- Void: it came elsewhere by other ways meanwhile, or left.
    state    TEXT NOT NULL CHECK (state IN ('open', 'taken', 'done', 'missing', 'void'))
) STRICT;
CREATE INDEX regroup_move_of ON regroup_move (regroup, taken_on);
CREATE INDEX regroup_move_item ON regroup_move (item);

-- How the label was drawn, as JSON, where that is not as its run says.
ALTER TABLE label ADD COLUMN look TEXT;
