//! Decisions over plain data: what a reading stands for, the order in which labels are printed, what was earned.
//!
//! Start with [`recognise`], [`walking_order`] and [`Ledger`].
//! Nothing is looked up here and nothing is changed.

mod ages;
mod goal;
mod period;
mod recognise;
mod takings;
mod walk;

pub use ages::Age;
pub use goal::{Goal, GoalError};
pub use period::{Per, Period, PeriodError, Periods};
pub use recognise::{Recognised, recognise};
pub use takings::{Figures, Goods, Ledger, Refunded, Sold, Takings, Tally};
pub use walk::walking_order;
