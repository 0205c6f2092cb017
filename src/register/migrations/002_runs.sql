-- Why: part-used sheets, own sheets, reprints and cancelled runs. A run gets more kinds and a state
-- more, and remembers how its labels were drawn; a label knows the sheet that it was printed on, so
-- that the slots left over are known. SQLite can't change a CHECK, so both tables are built anew;
-- labels go first, since foreign keys are on.

CREATE TABLE new_run (
    id           INTEGER PRIMARY KEY AUTOINCREMENT,
    at           TEXT NOT NULL,
    kind         TEXT NOT NULL CHECK (kind IN ('tags', 'signs', 'lids', 'strips', 'areas', 'contents')),
    -- Writing until its file is in place; settled at the next start if it is left so. Cancelled when
    -- nothing came out of the printer: it counts as if it never was.
    state        TEXT NOT NULL CHECK (state IN ('writing', 'done', 'cancelled')),
    target       TEXT NOT NULL,
    temporary    TEXT NOT NULL,
    sha256       TEXT NOT NULL,
    sheet        TEXT NOT NULL,
    dpi          REAL NOT NULL,
    pages        INTEGER NOT NULL,
    -- The printer's name, if one was chosen.
    printer      TEXT,
    -- What it takes to draw the same labels again, as JSON.
    options      TEXT NOT NULL DEFAULT '{}',
    cancelled_at TEXT,
    CHECK ((state = 'cancelled') = (cancelled_at IS NOT NULL))
) STRICT;
INSERT INTO new_run (id, at, kind, state, target, temporary, sha256, sheet, dpi, pages)
    SELECT id, at, kind, state, target, temporary, sha256, sheet, dpi, pages FROM run;
-- Numbers of runs that were taken back are not given again.
DELETE FROM sqlite_sequence WHERE name = 'new_run';
INSERT INTO sqlite_sequence (name, seq) SELECT 'new_run', seq FROM sqlite_sequence WHERE name = 'run';

CREATE TABLE new_label (
    run      INTEGER NOT NULL REFERENCES new_run,
    number   INTEGER NOT NULL,
    page     INTEGER NOT NULL,
    slot     INTEGER NOT NULL,
    -- Which one of the sheets of this name, counted from 1; rolls and plain paper have none.
    sheet_no INTEGER,
    payload  TEXT NOT NULL,
    -- The symbologies on it, parted by spaces.
    symbols  TEXT NOT NULL,
    item     INTEGER REFERENCES item,
    bin      INTEGER REFERENCES bin,
    area     INTEGER REFERENCES area,
    spot     INTEGER REFERENCES spot,
    -- What the label said, as JSON, to know later whether it still holds.
    said     TEXT NOT NULL,
    PRIMARY KEY (run, number),
    CHECK ((item IS NOT NULL) + (bin IS NOT NULL) + (area IS NOT NULL) + (spot IS NOT NULL) = 1)
) STRICT, WITHOUT ROWID;
-- So far each run began on a fresh sheet.
INSERT INTO new_label (run, number, page, slot, sheet_no, payload, symbols, item, bin, said)
    SELECT label.run, label.number, label.page, label.slot,
        CASE WHEN run.sheet NOT LIKE 'roll-%' THEN label.page + (
            SELECT coalesce(sum(earlier.pages), 0) FROM run AS earlier
            WHERE earlier.sheet = run.sheet AND earlier.id < run.id) END,
        label.payload, label.symbols, label.item, label.bin, label.said
    FROM label JOIN run ON run.id = label.run;

DROP TABLE label;
DROP TABLE run;
ALTER TABLE new_run RENAME TO run;
ALTER TABLE new_label RENAME TO label;
CREATE INDEX run_sheet ON run (sheet);
CREATE INDEX label_item ON label (item) WHERE item IS NOT NULL;
CREATE INDEX label_bin ON label (bin) WHERE bin IS NOT NULL;
CREATE INDEX label_area ON label (area) WHERE area IS NOT NULL;
CREATE INDEX label_spot ON label (spot) WHERE spot IS NOT NULL;
CREATE INDEX label_sheet ON label (run, sheet_no, slot) WHERE sheet_no IS NOT NULL;

-- Slots that a user said to be spent when a run began; they hold as long as the run does.
CREATE TABLE spent (
    run      INTEGER NOT NULL REFERENCES run,
    sheet_no INTEGER NOT NULL,
    slot     INTEGER NOT NULL,
    PRIMARY KEY (run, sheet_no, slot)
) STRICT, WITHOUT ROWID;

-- Sheets that a user added; lengths in millimetres.
CREATE TABLE own_sheet (
    name         TEXT PRIMARY KEY,
    paper        TEXT NOT NULL CHECK (paper IN ('a4', 'letter', 'roll')),
    columns      INTEGER NOT NULL CHECK (columns > 0),
    rows         INTEGER NOT NULL CHECK (rows > 0),
    label_width  REAL NOT NULL,
    label_height REAL NOT NULL,
    left         REAL NOT NULL,
    top          REAL NOT NULL,
    pitch_x      REAL NOT NULL,
    pitch_y      REAL NOT NULL
) STRICT;
