//! Stock codes against published check characters, slips of the hand and misfit keyboards.
//!
//! [`check`] takes the check letter to published rows of ISO/IEC 7064, [`slips`] counts the slips that
//! pass, [`keyboards`] types codes through other layouts, [`reading`] reads what readers and people type.
//! Whether a code is in a register is not a matter here.
//!
//! Sources beside the checks: [S] read in a published source or its reference library, [C] computed
//! outside of the program, [M] from memory; "common practice"; "design" for the program's own rules.

mod check;
mod keyboards;
mod reading;
mod sample;
mod slips;
