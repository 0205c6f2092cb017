-- Why: the first register. Areas, spots, bins and items, every name that a code ever had, printed
-- runs with what each label said, imported files, settings, and a journal of all changes.

CREATE TABLE setting (
    name  TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT;

CREATE TABLE area (
    number    INTEGER PRIMARY KEY CHECK (number BETWEEN 1 AND 999),
    name      TEXT NOT NULL,
    -- The rank of the next bin; ranks are never given twice.
    next_rank INTEGER NOT NULL DEFAULT 0
) STRICT;

CREATE TABLE spot (
    id         INTEGER PRIMARY KEY,
    area       INTEGER NOT NULL REFERENCES area,
    name       TEXT NOT NULL,
    -- The place in the walking order of the area, from 1.
    walk_order INTEGER NOT NULL,
    UNIQUE (area, name)
) STRICT;

CREATE TABLE bin (
    id          INTEGER PRIMARY KEY,
    area        INTEGER NOT NULL REFERENCES area,
    rank        INTEGER NOT NULL,
    payload     TEXT NOT NULL UNIQUE,
    spot        INTEGER REFERENCES spot,
    -- The serial of the next item; serials are never given twice.
    next_serial INTEGER NOT NULL DEFAULT 1,
    UNIQUE (area, rank)
) STRICT;

CREATE TABLE item (
    id      INTEGER PRIMARY KEY,
    payload TEXT NOT NULL UNIQUE,
    bin     INTEGER NOT NULL REFERENCES bin,
    title   TEXT NOT NULL,
    -- The title with letters such as ß and ø spelt out, as it is searched.
    words   TEXT NOT NULL,
    -- Money in minor units of the register's currency.
    cost    INTEGER CHECK (cost >= 0),
    asking  INTEGER CHECK (asking >= 0),
    bought  TEXT,
    state   TEXT NOT NULL DEFAULT 'held'
) STRICT;
CREATE INDEX item_bin ON item (bin);

-- Every payload that ever stood for something, for ever.
CREATE TABLE name (
    payload TEXT PRIMARY KEY,
    item    INTEGER REFERENCES item,
    bin     INTEGER REFERENCES bin,
    CHECK ((item IS NULL) <> (bin IS NULL))
) STRICT, WITHOUT ROWID;

CREATE VIRTUAL TABLE item_words USING fts5 (
    words, content = 'item', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '2 3'
);
CREATE TRIGGER item_words_insert AFTER INSERT ON item BEGIN
    INSERT INTO item_words (rowid, words) VALUES (new.id, new.words);
END;
CREATE TRIGGER item_words_update AFTER UPDATE OF words ON item BEGIN
    INSERT INTO item_words (item_words, rowid, words) VALUES ('delete', old.id, old.words);
    INSERT INTO item_words (rowid, words) VALUES (new.id, new.words);
END;
CREATE TRIGGER item_words_delete AFTER DELETE ON item BEGIN
    INSERT INTO item_words (item_words, rowid, words) VALUES ('delete', old.id, old.words);
END;

CREATE TABLE import (
    id     INTEGER PRIMARY KEY,
    at     TEXT NOT NULL,
    file   TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    items  INTEGER NOT NULL
) STRICT;
CREATE INDEX import_sha256 ON import (sha256);

CREATE TABLE run (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    at        TEXT NOT NULL,
    kind      TEXT NOT NULL CHECK (kind IN ('tags', 'signs')),
    -- Writing until its file is in place; settled at the next start if it is left so.
    state     TEXT NOT NULL CHECK (state IN ('writing', 'done')),
    target    TEXT NOT NULL,
    temporary TEXT NOT NULL,
    sha256    TEXT NOT NULL,
    sheet     TEXT NOT NULL,
    dpi       REAL NOT NULL,
    pages     INTEGER NOT NULL
) STRICT;

CREATE TABLE label (
    run     INTEGER NOT NULL REFERENCES run,
    number  INTEGER NOT NULL,
    page    INTEGER NOT NULL,
    slot    INTEGER NOT NULL,
    payload TEXT NOT NULL,
    -- The symbologies on it, parted by spaces.
    symbols TEXT NOT NULL,
    item    INTEGER REFERENCES item,
    bin     INTEGER REFERENCES bin,
    -- What the label said, as JSON, to know later whether it still holds.
    said    TEXT NOT NULL,
    PRIMARY KEY (run, number)
) STRICT, WITHOUT ROWID;
CREATE INDEX label_item ON label (item) WHERE item IS NOT NULL;
CREATE INDEX label_bin ON label (bin) WHERE bin IS NOT NULL;

CREATE TABLE journal (
    id     INTEGER PRIMARY KEY AUTOINCREMENT,
    at     TEXT NOT NULL,
    action TEXT NOT NULL,
    item   INTEGER,
    bin    INTEGER,
    -- What changed, as JSON: nothing before an addition.
    before TEXT,
    after  TEXT
) STRICT;
CREATE INDEX journal_item ON journal (item) WHERE item IS NOT NULL;
CREATE TRIGGER journal_keeps_rows BEFORE UPDATE ON journal BEGIN
    SELECT RAISE (ABORT, 'the journal is append-only');
END;
CREATE TRIGGER journal_loses_nothing BEFORE DELETE ON journal BEGIN
    SELECT RAISE (ABORT, 'the journal is append-only');
END;
