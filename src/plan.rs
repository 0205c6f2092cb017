//! Decisions over plain data: what a reading stands for, how true the register is, the order in which a person walks,
//! what was earned, whether a label still holds.
//!
//! Start with [`recognise`], [`WalkKey`] and [`Ledger`].
//! Nothing is looked up here and nothing is changed.

mod accuracy;
mod ages;
mod goal;
mod load;
mod period;
mod recognise;
mod regroup;
mod shares;
mod stale;
mod takings;
mod walk;

pub use accuracy::{Accuracy, Due, Tally, accuracy_by_bin, accuracy_by_month, due};
pub use ages::Age;
pub use goal::{Goal, GoalError};
pub use load::{Entered, Load, NamedSize, loads, named_sizes};
pub use period::{Per, Period, PeriodError, Periods};
pub use recognise::{Recognised, recognise};
pub use regroup::{BinRule, Capacity, RegroupError, Regrouping, Thing, Tub, Wish, regroup};
pub use shares::shares;
pub use stale::{Reason, reasons};
pub use takings::{Figures, Goods, Ledger, Refunded, Sold, Takings, Worth};
pub use walk::{Stand, WalkKey};
