//! stowmark: codes, labels and a register for one-off goods that are kept in tubs.
//!
//! The road goes one way: [`exchange`] → [`register`] → [`plan`] → [`label`] → [`sheet`] → [`output`],
//! with [`proof`] reading back what was printed. [`job`] walks it, and the command line in [`cli`] asks
//! [`job`], as the pages in [`desk`] do. Start there. Nothing here asks anything of a network.
#![forbid(unsafe_code)]
#![deny(missing_docs)]

pub mod cli;
pub mod code;
pub mod desk;
pub mod exchange;
pub mod font;
pub mod job;
pub mod label;
pub mod output;
pub mod parallel;
pub mod plan;
pub mod proof;
pub mod register;
pub mod sheet;
pub mod symbol;
pub mod unit;
