//! What goes out of items, bins, moves and sales, column by column.
//!
//! Start with [`chosen`]. The headings of items are those that an import knows.

use super::writer::{Cell, Column};
use crate::{
    register::{Bin, ItemRecord, MoveRecord, SaleRecord, Stowed},
    unit::{Volume, Weight},
};

/// Columns of a file.
pub type Columns<R> = [Column<R>];

macro_rules! columns {
    ($(#[$doc:meta])* $name:ident: $record:ty, $($heading:literal => $cell:expr,)+) => {
        $(#[$doc])*
        pub static $name: &Columns<$record> = &[$(Column { name: $heading, cell: $cell }),+];
    };
}

columns! {
    /// Of an item.
    ITEM_COLUMNS: ItemRecord,
    // The number of one that waits stands for it, so that its row is known when it comes in again.
    "code" => |record| Cell::text(Some(&record.item.name())),
    "number" => |record| Cell::Number(Some(record.item.id().get())),
    "title" => |record| Cell::text(Some(record.item.title.as_str())),
    "bin" => |record| Cell::text(record.item.bin().as_ref()),
    "area" => |record| Cell::Number(stowed(record).map(|stowed| stowed.place.area.get().into())),
    "area name" => |record| Cell::text(stowed(record).map(|stowed| stowed.place.area_name.as_str())),
    "spot" => |record| Cell::text(stowed(record).and_then(|stowed| Some(stowed.place.spot.as_ref()?.name.as_str()))),
    "state" => |record| Cell::text(Some(record.item.status.word())),
    "cost" => |record| Cell::Amount(record.item.cost),
    "asking" => |record| Cell::Amount(record.item.asking),
    "bought" => |record| Cell::Day(record.item.bought),
    "listed" => |record| Cell::Day(record.item.listed),
    "entered" => |record| Cell::Day(record.entered),
    "old code" => |record| Cell::Texts(record.old_codes.clone()),
    "note" => |record| Cell::text(record.item.note.as_ref()),
    "gone" => |record| Cell::Day(record.gone),
    "why gone" => |record| Cell::text(record.why_gone.as_ref()),
    "litres" => |record| Cell::Decimal(record.item.bulk.volume.map(Volume::litres)),
    "length" => |record| side(record, 0),
    "width" => |record| side(record, 1),
    "height" => |record| side(record, 2),
    "size" => |record| Cell::text(record.item.bulk.size.as_ref()),
    "grams" => |record| Cell::Number(record.item.bulk.weight.map(|weight| weight.grams().into())),
}

/// In centimetres, as an import reads it.
fn side(record: &ItemRecord, at: usize) -> Cell {
    Cell::Decimal(record.item.bulk.measures.map(|measures| f64::from(measures.sides_mm()[at]) / 10.0))
}

fn stowed(record: &ItemRecord) -> Option<&Stowed> {
    record.item.stowed.as_ref()
}

columns! {
    /// Of a bin.
    BIN_COLUMNS: Bin,
    "code" => |bin| Cell::text(Some(&bin.code)),
    "area" => |bin| Cell::Number(Some(bin.place.area.get().into())),
    "area name" => |bin| Cell::text(Some(bin.place.area_name.as_str())),
    "spot" => |bin| Cell::text(bin.place.spot.as_ref().map(|spot| spot.name.as_str())),
    "stack" => |bin| Cell::Number(bin.stack.map(Into::into)),
    "items" => |bin| Cell::Number(Some(bin.items.into())),
    "kind" => |bin| Cell::text(bin.kind.as_ref()),
    "litres" => |bin| Cell::Decimal(bin.room.volume.map(Volume::litres)),
    "max kg" => |bin| Cell::Decimal(bin.room.max_weight.map(Weight::kilograms)),
    "inside" => |bin| Cell::text(bin.room.inside.as_ref()),
}

columns! {
    /// Of a move.
    MOVE_COLUMNS: MoveRecord,
    "at" => |moved| Cell::text(Some(moved.at.as_str())),
    "code" => |moved| Cell::text(moved.code.as_ref()),
    "number" => |moved| Cell::Number(Some(moved.number.get())),
    "title" => |moved| Cell::text(Some(moved.title.as_str())),
    "from" => |moved| Cell::text(moved.from.as_ref()),
    "to" => |moved| Cell::text(moved.to.as_ref()),
    "what" => |moved| Cell::text(Some(moved.what)),
}

columns! {
    /// Of a sale.
    SALE_COLUMNS: SaleRecord,
    "code" => |sale| Cell::text(sale.code.as_ref()),
    "number" => |sale| Cell::Number(Some(sale.number.get())),
    "title" => |sale| Cell::text(Some(sale.title.as_str())),
    "sold" => |sale| Cell::Day(Some(sale.day)),
    "price" => |sale| Cell::Amount(sale.price),
    "fees" => |sale| Cell::Amount(Some(sale.fees)),
    "postage" => |sale| Cell::Amount(Some(sale.postage)),
    "refunds" => |sale| Cell::Balance(Some(sale.refunds)),
    "return postage" => |sale| Cell::Balance(Some(sale.return_postage)),
    "cost" => |sale| Cell::Amount(sale.cost),
    "profit" => |sale| Cell::Balance(sale.profit()),
    "order" => |sale| Cell::text(sale.order.as_ref()),
    "listed" => |sale| Cell::Day(sale.listed),
    "days to sell" => |sale| Cell::Number(sale.days_to_sell().map(Into::into)),
    "picked" => |sale| Cell::Day(sale.picked),
    "returned" => |sale| Cell::Day(sale.returned),
}

columns! {
    /// Of an item in a listing.
    LISTING_COLUMNS: ItemRecord,
    "title" => |record| Cell::text(Some(record.item.title.as_str())),
    "code" => |record| Cell::text(record.item.code.as_ref()),
}

columns! {
    /// Of an item whose listing shows another code than it has now.
    CODE_CHANGE_COLUMNS: ItemRecord,
    "old code" => |record| Cell::text(record.item.listing_code.as_ref()),
    "new code" => |record| Cell::text(record.item.code.as_ref()),
    "title" => |record| Cell::text(Some(record.item.title.as_str())),
    "asking" => |record| Cell::Amount(record.item.asking),
}

/// A column that is not there.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("there is no column `{name}`; there are {}", known.join(", "))]
pub struct ColumnError {
    /// What was asked for.
    pub name: String,
    /// What there is.
    pub known: Vec<&'static str>,
}

/// The columns of these names, or all when none is named; `_` may stand for a space, as in JSON.
///
/// # Errors
/// [`ColumnError`] for the first name that is unknown.
pub fn chosen<R>(all: &'static Columns<R>, names: &[String]) -> Result<Vec<&'static Column<R>>, ColumnError> {
    if names.is_empty() {
        return Ok(all.iter().collect());
    }
    names.iter().map(|name| by_name(all, name)).collect()
}

fn by_name<R>(all: &'static Columns<R>, name: &str) -> Result<&'static Column<R>, ColumnError> {
    let plain = |name: &str| name.trim().to_lowercase().replace('_', " ");
    let found = all.iter().find(|column| column.name == plain(name));
    let known = || all.iter().map(|column| column.name).collect();
    found.ok_or_else(|| ColumnError { name: name.trim().to_owned(), known: known() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_are_chosen_by_name_in_the_order_asked_for() {
        let names = ["Old_Code".to_owned(), " title".to_owned()];
        let found: Vec<_> = chosen(ITEM_COLUMNS, &names).unwrap().iter().map(|column| column.name).collect();
        assert_eq!(found, ["old code", "title"]);
        assert_eq!(chosen(ITEM_COLUMNS, &[]).unwrap().len(), ITEM_COLUMNS.len());
        let unknown = chosen(BIN_COLUMNS, &["shelf".to_owned()]).err().unwrap();
        let message = "there is no column `shelf`; there are code, area, area name, spot, stack, items, kind, litres, max kg, \
            inside";
        assert_eq!(unknown.to_string(), message);
    }
}
