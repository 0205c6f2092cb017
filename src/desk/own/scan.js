// Scanning sessions: readings are sent one after the other, and again until the desk has taken them.
