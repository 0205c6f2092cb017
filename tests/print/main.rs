//! Labels from the drawing to the pixels of the finished PDF: places, modules, quiet zones, reading back.
//!
//! [`catalog`] checks the sheets, [`sweep`] prints every sheet, symbol and resolution once and [`printed`]
//! says what must hold of each label, [`titles`] does the same for awkward texts, [`refusals`] for labels
//! that are too small, [`document`] looks into the PDF, [`snapshot`] shows one page as text, [`pictures`]
//! compares each design with a picture, [`heights`] checks capitals for their distance, [`choices`] symbols
//! and options, [`stale`] the labels that are wrong now with pictures of all, and [`property`] draws whatever [`random`]
//! thinks of.
//! Paper, ink and real readers are not here: the reader is a library, the printer a rasteriser.
//!
//! Sources beside the checks: [S] read in a published source or its reference library, [C] computed
//! outside of the program, [M] from memory; "common practice"; "design" for the program's own rules.

mod catalog;
mod checks;
mod choices;
mod contact;
mod designs;
mod document;
mod gallery;
mod heights;
mod ink;
mod picture;
mod pictures;
mod printed;
mod proofs;
mod property;
mod random;
mod refusals;
mod samples;
mod snapshot;
mod specimen;
mod stale;
mod sweep;
mod titles;
