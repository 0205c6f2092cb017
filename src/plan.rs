//! Decisions over plain data: what a reading stands for, how true the register is, the order in which a person walks,
//! what was earned, what a lift may weigh.
//! what was earned, whether a label still holds.
//!
//! Start with [`recognise`], [`WalkKey`] and [`Ledger`].
//! Nothing is looked up here and nothing is changed.

mod accuracy;
mod ages;
mod fit;
mod goal;
mod lift;
mod load;
mod period;
mod recognise;
mod regroup;
mod shares;
mod stale;
mod takings;
mod trips;
mod walk;

pub use accuracy::{Accuracy, Due, Tally, accuracy_by_bin, accuracy_by_month, due};
pub use ages::Age;
pub use fit::{Lack, Tubful, best_fits, fit, fit_together};
pub use goal::{Goal, GoalError};
pub use lift::{Factors, Handles, Lift};
pub use load::{Entered, Load, NamedSize, is_usual, loads, named_sizes};
pub use period::{Per, Period, PeriodError, Periods};
pub use recognise::{Recognised, recognise};
pub use regroup::{BinRule, Capacity, RegroupError, Regrouping, Thing, Tub, USUAL_STEPS, Wish, regroup};
pub use shares::shares;
pub use stale::{Reason, reasons};
pub use takings::{Figures, Goods, Ledger, Refunded, Sold, Takings, Worth};
pub use trips::{Armful, Carry, Floor, trips};
pub use walk::{Stand, WalkKey};
