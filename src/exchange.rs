//! Files that go out to a spreadsheet and come back from one.
//!
//! Start with [`read_buys`]; what it refuses goes back to its owner through [`BuyList::refused_csv`].
//! Whether a row is already in the register, or its date lies ahead, is not checked here.

mod buys;
mod cells;
pub mod count_json;
mod date;
mod decode;
mod delimiter;
mod error;
pub mod guard;
mod headings;
pub mod json;
mod quotes;
mod refused;
mod table;

pub use buys::{BuyList, BuyRow, RefusedRow, read_buys};
pub use date::{DateError, parse_date};
pub use error::CsvError;
