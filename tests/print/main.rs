//! Labels from the drawing to the pixels of the finished PDF: places, modules, quiet zones, reading back.
//!
//! [`catalog`] checks the sheets, [`sweep`] prints every sheet, symbol and resolution once and [`printed`]
//! says what must hold of each label, [`titles`] does the same for awkward texts, [`refusals`] for labels
//! that are too small, [`document`] looks into the PDF, [`snapshot`] shows one page as text.
//! Paper, ink and real readers are not here: the reader is a library, the printer a rasteriser.
//!
//! Sources beside the checks: [S] read in a published source or its reference library, [C] computed
//! outside of the program, [M] from memory; "common practice"; "design" for the program's own rules.

mod catalog;
mod checks;
mod document;
mod ink;
mod picture;
mod printed;
mod proofs;
mod refusals;
mod samples;
mod snapshot;
mod specimen;
mod sweep;
mod titles;
