//! What came, was listed, was sold and given back, as plain rows for sums.
//!
//! Start with [`Register::each_stock`]. Nothing is added up here.

use jiff::civil::Date;
use rusqlite::Row;

use super::{
    Register, RegisterError,
    bin::damaged,
    item::{date, money},
};
use crate::unit::Money;

/// An item as money and days know it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockRecord {
    /// When it was bought, else when it was entered.
    pub came: Date,
    /// What it cost.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// Since when it is listed.
    pub listed: Option<Date>,
    /// When it was lost, broken or given away.
    pub gone: Option<Date>,
    /// Its sales, in their order.
    pub sales: Vec<StockSale>,
}

/// A sale as money and days know it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StockSale {
    /// The day.
    pub day: Date,
    /// All that the buyer paid.
    pub price: Option<Money>,
    /// What selling it cost.
    pub fees: Money,
    /// What sending it cost.
    pub postage: Money,
    /// Since when it had been listed.
    pub listed: Option<Date>,
    /// When it came back.
    pub returned: Option<Date>,
}

/// Money that a buyer got back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefundRecord {
    /// The day.
    pub day: Date,
    /// How much.
    pub amount: Money,
    /// What the way back cost.
    pub postage: Money,
    /// Whether the price and the cost of the sale are known.
    pub is_known: bool,
}

/// An item that was never sold is one row, any other one row a sale.
const STOCK: &str = "SELECT item.id, coalesce(item.bought, item.entered) AS came, item.cost, item.asking,
        item.listed AS listed_now, item.gone,
        sale.day, sale.price, sale.fees, sale.postage, sale.listed, sale.returned
    FROM item LEFT JOIN sale ON sale.item = item.id
    WHERE item.state <> 'undone' ORDER BY item.id, sale.id";

const REFUNDS: &str = "SELECT refund.day, refund.amount, refund.postage,
        sale.price IS NOT NULL AND item.cost IS NOT NULL AS is_known
    FROM refund JOIN sale ON sale.id = refund.sale JOIN item ON item.id = sale.item ORDER BY refund.id";

impl Register {
    /// Reads several things as they are at one moment, whatever other programs write meanwhile.
    ///
    /// # Errors
    /// Whatever `read` refuses with.
    pub fn at_one_moment<T, E: From<RegisterError>>(&self, read: impl FnOnce(&Self) -> Result<T, E>) -> Result<T, E> {
        let _moment = self.connection.unchecked_transaction().map_err(RegisterError::from)?;
        read(self)
    }

    /// Hands out all items, also those that have left.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn each_stock(&self, mut take: impl FnMut(&StockRecord)) -> Result<(), RegisterError> {
        let mut last: Option<(i64, StockRecord)> = None;
        let read = |row: &Row<'_>| Ok(Some((row.get("id")?, StockRecord::from_row(row)?)));
        self.each(STOCK, [], read, |(id, record): &(i64, StockRecord)| {
            match &mut last {
                Some((known, whole)) if known == id => whole.sales.extend(record.sales.iter().cloned()),
                _ => {
                    if let Some((_, whole)) = last.replace((*id, record.clone())) {
                        take(&whole);
                    }
                }
            }
            Ok::<_, RegisterError>(())
        })?;
        if let Some((_, whole)) = last {
            take(&whole);
        }
        Ok(())
    }

    /// All that buyers got back.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn refunds(&self) -> Result<Vec<RefundRecord>, RegisterError> {
        let mut query = self.connection.prepare_cached(REFUNDS)?;
        let refunds = query.query_map([], RefundRecord::from_row)?;
        Ok(refunds.collect::<Result<_, _>>()?)
    }

    /// The first day of which anything is known: a purchase, a sale, an expense.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn first_day(&self) -> Result<Option<Date>, RegisterError> {
        let sql = "SELECT min(day) FROM (
            SELECT min(coalesce(bought, entered)) AS day FROM item WHERE state <> 'undone'
            UNION ALL SELECT min(listed) FROM item WHERE state <> 'undone'
            UNION ALL SELECT min(min(day, coalesce(listed, day))) FROM sale
            UNION ALL SELECT min(day) FROM expense)";
        let day = self.connection.prepare_cached(sql)?.query_row([], |row| row.get(0))?;
        Ok(date(day)?)
    }
}

impl StockRecord {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            came: day(row, "came")?,
            cost: money(row.get("cost")?)?,
            asking: money(row.get("asking")?)?,
            listed: date(row.get("listed_now")?)?,
            gone: date(row.get("gone")?)?,
            sales: StockSale::from_row(row)?.into_iter().collect(),
        })
    }
}

impl StockSale {
    /// `None` for a row without a sale.
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Option<Self>> {
        let Some(day) = date(row.get("day")?)? else { return Ok(None) };
        Ok(Some(Self {
            day,
            price: money(row.get("price")?)?,
            fees: amount(row, "fees")?,
            postage: amount(row, "postage")?,
            listed: date(row.get("listed")?)?,
            returned: date(row.get("returned")?)?,
        }))
    }
}

impl RefundRecord {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let (amount, postage) = (amount(row, "amount")?, amount(row, "postage")?);
        Ok(Self { day: day(row, "day")?, amount, postage, is_known: row.get("is_known")? })
    }
}

fn day(row: &Row<'_>, column: &str) -> rusqlite::Result<Date> {
    let text: String = row.get(column)?;
    text.parse().map_err(|_| damaged(&text))
}

fn amount(row: &Row<'_>, column: &str) -> rusqlite::Result<Money> {
    let minor: i64 = row.get(column)?;
    Money::from_minor(minor).ok_or_else(|| damaged(&minor.to_string()))
}
