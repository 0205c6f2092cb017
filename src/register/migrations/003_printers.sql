-- Why: printers have resolutions, errors of place that were measured once, inks that spread, edges that
-- stay white and print queues. One of them may be the one that is meant when none is named.

CREATE TABLE printer (
    name       TEXT PRIMARY KEY COLLATE NOCASE,
    dpi        REAL NOT NULL,
    -- Errors of place: millimetres, and factors near 1; the skew is millimetres down for each across.
    shift_x    REAL NOT NULL DEFAULT 0,
    shift_y    REAL NOT NULL DEFAULT 0,
    scale_x    REAL NOT NULL DEFAULT 1 CHECK (scale_x > 0),
    scale_y    REAL NOT NULL DEFAULT 1 CHECK (scale_y > 0),
    skew       REAL NOT NULL DEFAULT 0,
    thinner    INTEGER NOT NULL DEFAULT 0 CHECK (thinner IN (0, 1)),
    -- What stays white along the paper's edges, in millimetres; the usual guess when not said.
    edge       REAL CHECK (edge >= 0),
    queue      TEXT,
    is_default INTEGER NOT NULL DEFAULT 0 CHECK (is_default IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX printer_default ON printer (is_default) WHERE is_default = 1;
