//! Symbols down to their modules, against worked examples and an independent encoder and reader.
//!
//! [`bars`] takes Code 128 to published bars and check sums, [`choice`] its choice of code sets to
//! another encoder's, [`codewords`] takes QR to the standard's worked example, [`versions`] to its table
//! of capacities. [`raster`] has them read back. Nothing is printed here.
//!
//! Sources beside the checks: [S] read in a published source or its reference library, [C] computed
//! outside of the program, [M] from memory; "common practice"; "design" for the program's own rules.

mod bars;
mod choice;
mod codewords;
mod generator;
mod raster;
mod versions;
