//! Items, bins, moves and sales as whole records, one after the other, for files that go out.
//!
//! Start with [`Register::each_item`]. Nothing is gathered, so that a million items need no more memory than one.

use std::collections::HashMap;

use jiff::civil::Date;
use rusqlite::{Params, Row, params};
use serde_json::{Map, Value};

use super::{
    Item, ItemFilter, ItemId, Register, RegisterError, Status,
    bin::{bin_code, damaged},
    item::{date, item_code, item_query, money},
    undo::columns,
};
use crate::{
    code::{AreaNumber, BinCode, ItemCode},
    unit::{Balance, Money},
};

/// An item with all that is known of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemRecord {
    /// The item.
    pub item: Item,
    /// The day on which it was entered.
    pub entered: Option<Date>,
    /// Labels from before, as they are written.
    pub old_codes: Vec<String>,
    /// The day on which it was lost, broken or given away.
    pub gone: Option<Date>,
    /// Why it is gone.
    pub why_gone: Option<String>,
}

/// An item that came into a bin or left one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MoveRecord {
    /// When, ISO 8601 in UTC.
    pub at: String,
    /// The item's number.
    pub number: ItemId,
    /// The item's code.
    pub code: Option<ItemCode>,
    /// What the item is.
    pub title: String,
    /// The bin that it was in.
    pub from: Option<BinCode>,
    /// The bin that it was put into.
    pub to: Option<BinCode>,
    /// What happened.
    pub what: &'static str,
}

/// A sale.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaleRecord {
    /// The item's number.
    pub number: ItemId,
    /// The item's code.
    pub code: Option<ItemCode>,
    /// What the item is.
    pub title: String,
    /// The day.
    pub day: Date,
    /// All that the buyer paid.
    pub price: Option<Money>,
    /// What selling it cost.
    pub fees: Money,
    /// What sending it cost.
    pub postage: Money,
    /// What the buyer got back.
    pub refunds: Balance,
    /// What its way back cost.
    pub return_postage: Balance,
    /// What the item had cost.
    pub cost: Option<Money>,
    /// The buyer's order.
    pub order: Option<String>,
    /// Since when the item had been listed.
    pub listed: Option<Date>,
    /// When it was taken from its bin.
    pub picked: Option<Date>,
    /// When it came back.
    pub returned: Option<Date>,
}

impl SaleRecord {
    /// The days from its listing to its sale.
    #[must_use]
    pub fn days_to_sell(&self) -> Option<i32> {
        self.listed.map(|listed| (self.day - listed).get_days())
    }

    /// What it brought in the end; `None` where its price or its cost is not known. An item that came back has cost
    /// nothing.
    #[must_use]
    pub fn profit(&self) -> Option<Balance> {
        let (price, cost) = (Balance::from(self.price?), Balance::from(self.cost?));
        let spent = Balance::from(self.fees) + self.postage.into() + self.refunds + self.return_postage;
        Some(price - spent - if self.returned.is_some() { Balance::ZERO } else { cost })
    }
}

/// The order of items is that of their entry, which needs no sorting.
const ITEMS: &str = concat!(
    "SELECT known.*, own.entered, own.gone, own.why_gone,
        (SELECT json_group_array(old ORDER BY payload) FROM name WHERE name.item = own.id AND old IS NOT NULL) AS olds
     FROM (",
    item_query!(
        "WHERE item.state <> 'undone' AND (?1 IS NULL OR item.bin = ?1) AND (?2 IS NULL OR bin.area = ?2)
           AND (?3 = '[]' OR item.state IN (SELECT value FROM json_each(?3)))"
    ),
    ") AS known JOIN item AS own ON own.id = known.id ORDER BY own.id"
);

/// Rows from before changes were kept have the codes of bins in them, later ones the keys of bins.
const MOVES: &str = "SELECT journal.at, journal.change, journal.item, journal.before, journal.after, item.payload,
        item.title
    FROM journal JOIN item ON item.id = journal.item
    WHERE journal.subject = 'item' AND journal.change IS NOT NULL
        OR journal.subject IS NULL AND journal.action IN ('item added', 'item moved')
    ORDER BY journal.id";

const SALES: &str = "SELECT sale.*, item.payload, item.title, item.cost,
        coalesce((SELECT sum(amount) FROM refund WHERE refund.sale = sale.id), 0) AS refunds,
        coalesce((SELECT sum(postage) FROM refund WHERE refund.sale = sale.id), 0) AS return_postage
    FROM sale JOIN item ON item.id = sale.item ORDER BY sale.id";

impl Register {
    /// Hands out items as they were entered, and gives their number. The filter's `untagged` is not heeded.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::UnknownArea`]; whatever `take` refuses with.
    pub fn each_item<E: From<RegisterError>>(
        &self,
        filter: &ItemFilter,
        take: impl FnMut(&ItemRecord) -> Result<(), E>,
    ) -> Result<usize, E> {
        filter.area.map_or(Ok(()), |area| self.require_area(area))?;
        let bin = filter.bin.map(|code| self.bin(code)).transpose()?.map(|bin| bin.id);
        let states: Vec<&str> = filter.states.iter().map(|status| status.word()).collect();
        let states = Value::from(states).to_string();
        let area = filter.area.map(AreaNumber::get);
        self.each(ITEMS, params![bin, area, states], |row| ItemRecord::from_row(row).map(Some), take)
    }

    /// Hands out all that came into a bin or left one, in the order of time, and gives the number of moves.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read; whatever `take` refuses with.
    pub fn each_move<E: From<RegisterError>>(
        &self,
        take: impl FnMut(&MoveRecord) -> Result<(), E>,
    ) -> Result<usize, E> {
        let bins = self.bin_codes()?;
        self.each(MOVES, [], |row| MoveRecord::from_row(row, &bins), take)
    }

    /// Hands out sales as they were entered, and gives their number.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read; whatever `take` refuses with.
    pub fn each_sale<E: From<RegisterError>>(
        &self,
        take: impl FnMut(&SaleRecord) -> Result<(), E>,
    ) -> Result<usize, E> {
        self.each(SALES, [], |row| SaleRecord::from_row(row).map(Some), take)
    }

    /// Hands out what `read` makes of the rows of a query, and gives their number.
    pub(super) fn each<T, E: From<RegisterError>>(
        &self,
        sql: &str,
        parameters: impl Params,
        mut read: impl FnMut(&Row<'_>) -> rusqlite::Result<Option<T>>,
        mut take: impl FnMut(&T) -> Result<(), E>,
    ) -> Result<usize, E> {
        let mut query = self.connection.prepare_cached(sql).map_err(RegisterError::from)?;
        let mut rows = query.query(parameters).map_err(RegisterError::from)?;
        let mut count = 0;
        while let Some(row) = rows.next().map_err(RegisterError::from)? {
            if let Some(record) = read(row).map_err(RegisterError::from)? {
                take(&record)?;
                count += 1;
            }
        }
        Ok(count)
    }

    fn bin_codes(&self) -> Result<HashMap<i64, BinCode>, RegisterError> {
        let mut query = self.connection.prepare("SELECT id, payload FROM bin")?;
        let bins = query.query_map([], |row| Ok((row.get(0)?, bin_code(&row.get::<_, String>(1)?)?)))?;
        Ok(bins.collect::<Result<_, _>>()?)
    }
}

impl ItemRecord {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let olds: String = row.get("olds")?;
        Ok(Self {
            item: Item::from_row(row)?,
            entered: date(row.get("entered")?)?,
            old_codes: serde_json::from_str(&olds).map_err(|_| damaged(&olds))?,
            gone: date(row.get("gone")?)?,
            why_gone: row.get("why_gone")?,
        })
    }
}

impl MoveRecord {
    /// `None` for a row that moved nothing.
    fn from_row(row: &Row<'_>, bins: &HashMap<i64, BinCode>) -> rusqlite::Result<Option<Self>> {
        let (before, after) = (columns(row.get("before")?)?, columns(row.get("after")?)?);
        let [from, to] = [&before, &after].map(|columns| bin_of(columns.as_ref(), bins));
        let (from, to) = (from?, to?);
        if from == to {
            return Ok(None);
        }
        let code: Option<String> = row.get("payload")?;
        Ok(Some(Self {
            at: row.get("at")?,
            number: ItemId(row.get("item")?),
            code: code.map(|code| item_code(&code)).transpose()?,
            title: row.get("title")?,
            from,
            to,
            what: what_happened(before.as_ref(), after.as_ref()),
        }))
    }
}

fn bin_of(columns: Option<&Map<String, Value>>, bins: &HashMap<i64, BinCode>) -> rusqlite::Result<Option<BinCode>> {
    match columns.and_then(|columns| columns.get("bin")) {
        None | Some(Value::Null) => Ok(None),
        Some(Value::String(code)) => code.parse().map(Some).map_err(|_| damaged(code)),
        Some(key) => {
            let known = key.as_i64().and_then(|key| bins.get(&key).copied());
            known.map(Some).ok_or_else(|| damaged(&key.to_string()))
        }
    }
}

fn what_happened(before: Option<&Map<String, Value>>, after: Option<&Map<String, Value>>) -> &'static str {
    let state = |columns: Option<&Map<String, Value>>| {
        columns.and_then(|columns| columns.get("state")?.as_str()).and_then(Status::by_word)
    };
    match (before, state(before), state(after)) {
        (None, ..) => "entered",
        (_, _, Some(Status::Picked)) => "picked",
        (_, _, Some(Status::Gone)) => "gone",
        (_, _, Some(Status::Undone | Status::Waiting)) => "taken back",
        (_, Some(Status::Picked | Status::Sold), Some(Status::Held | Status::Listed)) => "returned",
        _ => "put",
    }
}

impl SaleRecord {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let (code, day): (Option<String>, String) = (row.get("payload")?, row.get("day")?);
        let known = |column: &str| {
            let minor: i64 = row.get(column)?;
            Money::from_minor(minor).ok_or_else(|| damaged(&minor.to_string()))
        };
        let sum = |column: &str| row.get::<_, i64>(column).map(|minor| Balance::from_minor(minor.into()));
        Ok(Self {
            number: ItemId(row.get("item")?),
            code: code.map(|code| item_code(&code)).transpose()?,
            title: row.get("title")?,
            day: day.parse().map_err(|_| damaged(&day))?,
            price: money(row.get("price")?)?,
            fees: known("fees")?,
            postage: known("postage")?,
            refunds: sum("refunds")?,
            return_postage: sum("return_postage")?,
            cost: money(row.get("cost")?)?,
            order: row.get("order_no")?,
            listed: date(row.get("listed")?)?,
            picked: date(row.get("picked")?)?,
            returned: date(row.get("returned")?)?,
        })
    }
}
