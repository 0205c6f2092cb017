-- Why: titles in scripts that the bundled faces lack. Fonts of the user, in the order in which they
-- are asked for a character, each with the hash of what the file held when it was added.

CREATE TABLE font (
    path   TEXT PRIMARY KEY,
    -- The place in the order, from 1; places of fonts that were removed stay free.
    place  INTEGER NOT NULL UNIQUE,
    sha256 TEXT NOT NULL,
    -- The name that the font gives itself.
    family TEXT NOT NULL
) STRICT;
