//! How much, how long and how many at once.

use std::time::Duration;

/// What the desk bears. The usual values are meant for two people with a browser and a phone each.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DeskLimits {
    /// Connections from this computer that are open at once.
    pub local: usize,
    /// Connections from all others that are open at once.
    pub remote: usize,
    /// How long the head of a request may take, and how long a connection may wait for one.
    pub head: Duration,
    /// The longest pause within what is sent.
    pub pause: Duration,
    /// How long a request may take, with what it sends.
    pub whole: Duration,
}

impl Default for DeskLimits {
    fn default() -> Self {
        Self {
            local: 256,
            remote: 128,
            head: Duration::from_secs(10),
            pause: Duration::from_secs(10),
            whole: Duration::from_mins(1),
        }
    }
}
