//! Millimetres, printer dots, litres, grams and money, as types that refuse nonsense when they are made;
//! numbers of things in words.
//!
//! Start with [`Mm`], [`Dpi`] and [`Currency`]; sums of [`Money`] are a [`Balance`].
//! Nothing here knows what is measured or paid for.

mod amount;
mod balance;
mod length;
mod money;
mod pace;
mod room;
mod sign;
mod words;

pub use amount::AmountError;
pub use balance::Balance;
pub use length::{Dots, Dpi, Mm, Point, Size, UnitError, parse_cm, parse_mm};
pub use money::{Currency, CurrencyError, Money};
pub use pace::{Pace, PaceError, Spell};
pub use room::{Measures, RoomError, USUAL_SIZES, Volume, Weight};
pub use words::{count, joined, listed};
