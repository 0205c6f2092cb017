//! Decisions over plain data: what a reading stands for, how true the register is, and the order in which labels are printed.
//!
//! Start with [`recognise`] and [`walking_order`].
//! Nothing is looked up here and nothing is changed.

mod accuracy;
mod recognise;
mod walk;

pub use accuracy::{Accuracy, Due, Tally, accuracy_by_bin, accuracy_by_month, due};
pub use recognise::{Recognised, recognise};
pub use walk::walking_order;
