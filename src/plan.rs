//! Decisions over plain data: what a reading stands for, and the order in which labels are printed.
//!
//! Start with [`recognise`] and [`walking_order`].
//! Nothing is looked up here and nothing is changed.

mod recognise;
mod shares;
mod walk;

pub use recognise::{Recognised, recognise};
pub use shares::shares;
pub use walk::walking_order;
