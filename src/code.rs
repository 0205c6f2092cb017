//! Stock codes: their shape, the next one, the check letter, and what a reader typed back into a code.
//!
//! Start with [`BinCode`], [`ItemCode`] and [`read`].
//! Whether a code is in the register is not known here.

mod alphabet;
mod bin;
mod check;
mod item;
pub mod layout;
mod link;
mod near;
mod reading;

pub use alphabet::LETTERS;
pub use bin::{AreaNumber, BINS_PER_AREA, BinCode};
pub use check::{check_letter, check_value};
pub use item::{ItemCode, Serial, StockCode};
pub use link::{LinkBase, LinkError};
pub use near::near;
pub use reading::{Origin, Read, Repair, read, repairs, without_aim};

/// Why a code or one of its parts was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CodeError {
    /// An area outside of 1 to 999.
    #[error("`{0}` is no area number; areas are numbered 1 to 999")]
    Area(String),
    /// No bin code.
    #[error("`{0}` is no bin code; a bin code is an area's number and one or two letters, such as 4C")]
    Bin(String),
    /// An area that has used up its letters.
    #[error("area {0} has all of its 374 bins; add another area")]
    AreaFull(AreaNumber),
    /// A serial below 1 or above [`Serial::MAX`].
    #[error("`{0}` is no serial; serials count from 1 to {max}", max = Serial::MAX)]
    Serial(u32),
}
