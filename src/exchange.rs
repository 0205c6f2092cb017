//! Files that go out to a spreadsheet and come back from one.
//!
//! Start with [`CsvFile::read`], [`Mapping::find`] and [`read_buys`]; what it refuses goes back to its owner through
//! [`Rows::refused_csv`]. How another kind of file is read stands in `fields.rs`.
//! What goes out is written by [`RowWriter`].
//! Whether a row is already in the register, or its date lies ahead, is not checked here.

mod buys;
mod cells;
mod chart;
mod columns;
pub mod count_json;
mod date;
mod decode;
mod delimiter;
mod error;
mod fields;
pub mod guard;
mod headings;
pub mod json;
pub mod lift_json;
mod mapping;
mod orders;
mod quotes;
mod refused;
pub mod regroup_json;
pub mod room_json;
mod rows;
pub mod sale_json;
pub mod stale_json;
mod table;
mod takings;
mod writer;

pub use buys::{BUYS, BuyRow, read_buys};
pub use cells::Cells;
pub use columns::{
    BIN_COLUMNS, CODE_CHANGE_COLUMNS, ColumnError, Columns, ITEM_COLUMNS, LISTING_COLUMNS, MOVE_COLUMNS, SALE_COLUMNS,
    chosen,
};
pub use date::{DateError, DateOrder, DateOrderError, OrderProof, parse_date, parse_date_in, settle_dates};
pub use error::CsvError;
pub use fields::{Field, FileKind};
pub use mapping::{Asked, KnownBy, Mapping, MappingError, Partial, mapping_key};
pub use orders::{ORDERS, OrderRow, day_part, read_orders};
pub use rows::{Fault, GoodRow, RefusedRow, Rows};
pub use table::CsvFile;
pub use takings::{PERIOD_COLUMNS, PeriodRecord, takings_json, takings_svg};
pub use writer::{Cell, Column, RowFormat, RowJson, RowWriter, Separator, tenths_text};
