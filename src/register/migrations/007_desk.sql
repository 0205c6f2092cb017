-- Why: the desk. Devices that were paired with it, and scans that a device repeats when it did not hear the answer.

CREATE TABLE device (
    id         INTEGER PRIMARY KEY,
    -- What its owner calls it.
    name       TEXT NOT NULL,
    -- The SHA-256 of the secret that it shows: who reads this file can't be that device.
    secret     TEXT NOT NULL UNIQUE,
    -- Whether it may look and change nothing.
    looks_only INTEGER NOT NULL CHECK (looks_only IN (0, 1)),
    paired     TEXT NOT NULL,
    -- The day on which it was last seen.
    seen       TEXT NOT NULL
) STRICT;

-- The scan that made the change, by the number that the device gave it.
ALTER TABLE change ADD COLUMN scan TEXT;
CREATE UNIQUE INDEX change_of_scan ON change (scan) WHERE scan IS NOT NULL;
