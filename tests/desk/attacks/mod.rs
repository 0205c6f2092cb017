//! Attacks: each is refused, shows nothing and changes nothing.

mod bodies;
mod crowd;
mod ended;
mod headers;
mod pairings;
mod raw;
mod table;
mod text;
