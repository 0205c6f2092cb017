//! What is done for a printer of one's own: places corrected, bars thinner, pages turned, pictures at its dots.
//!
//! The printer is a rasteriser and arithmetic: [`align`] bends finished pages on purpose as a printer does, and
//! finds crosses and labels again by their pixels. Sources beside the checks: [S] read in a published source,
//! [M] from memory, "design" for the program's own rules. What a print queue does is in `print_queue.rs`.

#[path = "printer/align.rs"]
mod align;
#[path = "printer/margin.rs"]
mod margin;
#[path = "printer/picture.rs"]
mod picture;
#[path = "printer/support.rs"]
mod support;
#[path = "printer/thinner.rs"]
mod thinner;
#[path = "printer/turned.rs"]
mod turned;
