-- Why: a trading week. Items may wait for a bin without a code, are listed, sold, picked, returned or
-- gone; old labels stand for items; money comes and goes; bins are counted. Every command that changes
-- any of it is a row in "change", with its rows in the journal, so that it can be taken back as a whole.
-- SQLite can't take a NOT NULL back, so "item" is built anew, and before it what refers to it, since
-- foreign keys are on.

CREATE TABLE change (
    id        INTEGER PRIMARY KEY,
    at        TEXT NOT NULL,
    -- What was done, in words for people.
    what      TEXT NOT NULL,
    -- Its first row in the journal; its rows stand together there, so that no index of them is needed.
    first_row INTEGER NOT NULL,
    -- The change that this one took back.
    undoes    INTEGER REFERENCES change,
    -- The change that took this one back.
    undone_by INTEGER REFERENCES change
) STRICT;

-- Numbers of an append-only table are never given twice anyway; without AUTOINCREMENT each row is one
-- page less to write.
CREATE TABLE new_journal (
    id      INTEGER PRIMARY KEY,
    -- Nothing for prints, printers, sheets and fonts, which are not taken back, and for rows from before.
    change  INTEGER REFERENCES change,
    at      TEXT NOT NULL,
    action  TEXT NOT NULL,
    -- The table and the key of the row that changed.
    subject TEXT,
    key     ANY,
    -- Whose history it belongs to.
    item    INTEGER,
    bin     INTEGER,
    -- What changed, as JSON: nothing before an addition.
    before  TEXT,
    after   TEXT
) STRICT;
INSERT INTO new_journal (id, at, action, item, bin, before, after)
    SELECT id, at, action, item, bin, before, after FROM journal;

CREATE TABLE new_item (
    id       INTEGER PRIMARY KEY,
    -- Nothing until it is first put into a bin.
    payload  TEXT UNIQUE,
    -- Nothing while it waits for one, and when it has left.
    bin      INTEGER REFERENCES bin,
    title    TEXT NOT NULL,
    -- The title with letters such as ß and ø spelt out, as it is searched; empty when its entry was taken back.
    words    TEXT NOT NULL,
    -- Money in minor units of the register's currency.
    cost     INTEGER CHECK (cost >= 0),
    asking   INTEGER CHECK (asking >= 0),
    bought   TEXT,
    note     TEXT,
    -- The day on which it was entered.
    entered  TEXT NOT NULL,
    state    TEXT NOT NULL CHECK (state IN ('waiting', 'held', 'listed', 'sold', 'picked', 'gone', 'undone')),
    -- Since when it is listed; a sale takes it over.
    listed   TEXT,
    gone     TEXT,
    why_gone TEXT,
    CHECK ((bin IS NOT NULL) = (state IN ('held', 'listed', 'sold'))),
    CHECK (payload IS NOT NULL OR state IN ('waiting', 'gone', 'undone')),
    CHECK (payload IS NULL OR state <> 'waiting'),
    CHECK (state <> 'listed' OR listed IS NOT NULL),
    CHECK ((state = 'gone') = (gone IS NOT NULL))
) STRICT;
INSERT INTO new_item (id, payload, bin, title, words, cost, asking, bought, entered, state)
    SELECT id, payload, bin, title, words, cost, asking, bought,
        coalesce((SELECT substr(at, 1, 10) FROM journal WHERE journal.item = item.id ORDER BY journal.id LIMIT 1),
            bought, date('now')),
        'held'
    FROM item;

CREATE TABLE new_name (
    -- A code as its symbol carries it, or an old label in capitals without spaces and hyphens.
    payload TEXT PRIMARY KEY,
    item    INTEGER REFERENCES new_item,
    bin     INTEGER REFERENCES bin,
    -- An old label as it is written; nothing for codes of this program.
    old     TEXT,
    CHECK ((item IS NULL) <> (bin IS NULL))
) STRICT, WITHOUT ROWID;
INSERT INTO new_name (payload, item, bin) SELECT payload, item, bin FROM name;

CREATE TABLE new_label (
    run      INTEGER NOT NULL REFERENCES run,
    number   INTEGER NOT NULL,
    page     INTEGER NOT NULL,
    slot     INTEGER NOT NULL,
    -- Which one of the sheets of this name, counted from 1; rolls and plain paper have none.
    sheet_no INTEGER,
    payload  TEXT NOT NULL,
    -- The symbologies on it, parted by spaces.
    symbols  TEXT NOT NULL,
    item     INTEGER REFERENCES new_item,
    bin      INTEGER REFERENCES bin,
    area     INTEGER REFERENCES area,
    spot     INTEGER REFERENCES spot,
    -- What the label said, as JSON, to know later whether it still holds.
    said     TEXT NOT NULL,
    PRIMARY KEY (run, number),
    CHECK ((item IS NOT NULL) + (bin IS NOT NULL) + (area IS NOT NULL) + (spot IS NOT NULL) = 1)
) STRICT, WITHOUT ROWID;
INSERT INTO new_label SELECT * FROM label;

DROP TABLE label;
DROP TABLE name;
DROP TABLE item;
DROP TABLE journal;
ALTER TABLE new_item RENAME TO item;
ALTER TABLE new_name RENAME TO name;
ALTER TABLE new_label RENAME TO label;
ALTER TABLE new_journal RENAME TO journal;

CREATE INDEX item_bin ON item (bin);
CREATE INDEX item_state ON item (state);
CREATE INDEX name_item ON name (item) WHERE old IS NOT NULL;
CREATE INDEX label_item ON label (item) WHERE item IS NOT NULL;
CREATE INDEX label_bin ON label (bin) WHERE bin IS NOT NULL;
CREATE INDEX label_area ON label (area) WHERE area IS NOT NULL;
CREATE INDEX label_spot ON label (spot) WHERE spot IS NOT NULL;
CREATE INDEX label_sheet ON label (run, sheet_no, slot) WHERE sheet_no IS NOT NULL;
CREATE INDEX journal_item ON journal (item) WHERE item IS NOT NULL;
CREATE INDEX journal_bin ON journal (bin) WHERE bin IS NOT NULL;
-- For rows that belong to no item's and no bin's history; these are few.
CREATE INDEX journal_key ON journal (key) WHERE item IS NULL AND bin IS NULL AND key IS NOT NULL;
-- What is not taken back: prints, sheets and the like.
CREATE INDEX journal_loose ON journal (id) WHERE change IS NULL AND subject IS NULL;
CREATE TRIGGER journal_keeps_rows BEFORE UPDATE ON journal BEGIN
    SELECT RAISE (ABORT, 'the journal is append-only');
END;
CREATE TRIGGER journal_loses_nothing BEFORE DELETE ON journal BEGIN
    SELECT RAISE (ABORT, 'the journal is append-only');
END;

-- Beginnings of one letter are looked up too, which would else collect half of the register; "item_terms" lists the
-- words that begin in a way.
DROP TABLE item_words;
CREATE VIRTUAL TABLE item_words USING fts5 (
    words, content = 'item', content_rowid = 'id',
    tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3'
);
-- No trigger for new items: with one, each statement is a savepoint, at which the index is written out, and an import
-- takes thrice the time. Whoever inserts an item inserts its words.
INSERT INTO item_words (item_words) VALUES ('rebuild');
CREATE VIRTUAL TABLE item_terms USING fts5vocab (item_words, instance);
CREATE TRIGGER item_words_update AFTER UPDATE OF words ON item BEGIN
    INSERT INTO item_words (item_words, rowid, words) VALUES ('delete', old.id, old.words);
    INSERT INTO item_words (rowid, words) VALUES (new.id, new.words);
END;
CREATE TRIGGER item_words_delete AFTER DELETE ON item BEGIN
    INSERT INTO item_words (item_words, rowid, words) VALUES ('delete', old.id, old.words);
END;

ALTER TABLE area ADD COLUMN walk_order INTEGER;
ALTER TABLE bin ADD COLUMN state TEXT NOT NULL DEFAULT 'live' CHECK (state IN ('live', 'undone'));
-- Its place in the stack of its spot, from the top.
ALTER TABLE bin ADD COLUMN stack INTEGER CHECK (stack > 0);

CREATE TABLE sale (
    id       INTEGER PRIMARY KEY,
    item     INTEGER NOT NULL REFERENCES item,
    day      TEXT NOT NULL,
    -- All that the buyer paid; nothing when it is not known.
    price    INTEGER CHECK (price >= 0),
    fees     INTEGER NOT NULL DEFAULT 0 CHECK (fees >= 0),
    -- What the seller paid for sending it.
    postage  INTEGER NOT NULL DEFAULT 0 CHECK (postage >= 0),
    order_no TEXT,
    -- Since when the item had been listed.
    listed   TEXT,
    -- When it was taken from its bin.
    picked   TEXT,
    -- When it came back.
    returned TEXT
) STRICT;
CREATE UNIQUE INDEX sale_item ON sale (item) WHERE returned IS NULL;
CREATE INDEX sale_day ON sale (day);

CREATE TABLE refund (
    id      INTEGER PRIMARY KEY,
    sale    INTEGER NOT NULL REFERENCES sale,
    day     TEXT NOT NULL,
    amount  INTEGER NOT NULL CHECK (amount >= 0),
    -- What the seller paid for the way back.
    postage INTEGER NOT NULL DEFAULT 0 CHECK (postage >= 0)
) STRICT;
CREATE INDEX refund_sale ON refund (sale);

CREATE TABLE expense (
    id     INTEGER PRIMARY KEY,
    day    TEXT NOT NULL,
    amount INTEGER NOT NULL CHECK (amount >= 0),
    what   TEXT NOT NULL
) STRICT;

-- A bin's contents held against the register.
CREATE TABLE tally (
    id        INTEGER PRIMARY KEY,
    bin       INTEGER NOT NULL REFERENCES bin,
    day       TEXT NOT NULL,
    present   INTEGER NOT NULL,
    missing   INTEGER NOT NULL,
    misplaced INTEGER NOT NULL,
    unknown   INTEGER NOT NULL
) STRICT;
CREATE INDEX tally_bin ON tally (bin);

-- What the columns of a file mean, remembered for a set of headings.
CREATE TABLE mapping (
    headings TEXT PRIMARY KEY,
    columns  TEXT NOT NULL
) STRICT;

-- The journal begins to add up to the present state from here on.
INSERT INTO journal (at, action, subject, key, after)
    SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 'carried over', 'area', number, json_object('name', name)
    FROM area;
INSERT INTO journal (at, action, subject, key, after)
    SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 'carried over', 'spot', id,
        json_object('area', area, 'name', name, 'walk_order', walk_order)
    FROM spot;
INSERT INTO journal (at, action, subject, key, bin, after)
    SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 'carried over', 'bin', id, id,
        json_object('payload', payload, 'area', area, 'rank', rank, 'spot', spot, 'state', state)
    FROM bin;
INSERT INTO journal (at, action, subject, key, item, bin, after)
    SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 'carried over', 'item', id, id, bin,
        json_object('payload', payload, 'bin', bin, 'title', title, 'cost', cost, 'asking', asking,
            'bought', bought, 'entered', entered, 'state', state)
    FROM item;
INSERT INTO journal (at, action, subject, key, after)
    SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 'carried over', 'setting', name, json_object('value', value)
    FROM setting;
INSERT INTO journal (at, action, subject, key, after)
    SELECT strftime('%Y-%m-%dT%H:%M:%fZ', 'now'), 'carried over', 'import', id,
        json_object('at', at, 'file', file, 'sha256', sha256, 'items', items)
    FROM import;
