//! Files that go out to a spreadsheet and come back from one.
//!
//! Start with [`read_buys`]; what it refuses goes back to its owner through [`BuyList::refused_csv`]. What goes out is
//! written by [`RowWriter`].
//! Whether a row is already in the register, or its date lies ahead, is not checked here.

mod buys;
mod cells;
mod chart;
mod columns;
mod date;
mod decode;
mod delimiter;
mod error;
pub mod guard;
mod headings;
pub mod json;
mod quotes;
mod refused;
mod rows;
mod table;
mod takings;

pub use buys::{BuyList, BuyRow, RefusedRow, read_buys};
pub use columns::{
    BIN_COLUMNS, ColumnError, Columns, ITEM_COLUMNS, LISTING_COLUMNS, MOVE_COLUMNS, SALE_COLUMNS, chosen,
};
pub use date::{DateError, parse_date};
pub use error::CsvError;
pub use rows::{Cell, Column, RowFormat, RowJson, RowWriter, Separator, tenths_text};
pub use takings::{PERIOD_COLUMNS, PeriodRecord, takings_json, takings_svg};
