//! Decisions over plain data: what a reading stands for, and the order in which a person walks.
//!
//! Start with [`recognise`] and [`WalkKey`].
//! Nothing is looked up here and nothing is changed.

mod recognise;
mod shares;
mod walk;

pub use recognise::{Recognised, recognise};
pub use shares::shares;
pub use walk::{Stand, WalkKey};
