//! Stock codes against published check characters, slips of the hand and misfit keyboards.
//!
//! [`check`] takes the check letter to published rows of ISO/IEC 7064, [`slips`] counts the slips that
//! pass, [`keyboards`] types codes through other layouts, [`reading`] reads what readers and people type.
//! [`typed`] types every code of a register through every layout. Whether a code is in a register is not a matter of the others.
//!
//! Sources beside the checks: [S] read in a published source or its reference library, [C] computed
//! outside of the program, [M] from memory; "common practice"; "design" for the program's own rules.

mod check;
mod keyboards;
mod reading;
mod sample;
mod slips;
mod typed;
