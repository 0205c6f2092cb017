//! Sales: what buyers paid for items, what the sale cost, and what is corrected of it later.
//!
//! Start with [`Register::sell`]. How figures of an order are shared out over its items is not decided here.

use jiff::civil::Date;
use rusqlite::{Connection, OptionalExtension, Row};

use super::{
    ChangeId, Edit, Item, ItemId, NewMapping, Register, RegisterError, SoldAs, Status, Title,
    change::Change,
    item::{date, item_query, money, named},
    mapping::remember_in,
    row::{ItemRow, SaleRow},
};
use crate::unit::Money;

/// A sale on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sale {
    /// When.
    pub day: Date,
    /// All that the buyer paid; none when it is not known.
    pub price: Option<Money>,
    /// What others took of it.
    pub fees: Money,
    /// What the seller paid for sending it.
    pub postage: Money,
    /// The order that it is a part of.
    pub order: Option<String>,
    /// When the item was taken from its bin.
    pub picked: Option<Date>,
    /// When it came back.
    pub returned: Option<Date>,
    /// What was given back of the price so far.
    pub refunded: Money,
    pub(super) id: i64,
}

/// An item to be sold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewSale {
    /// Which.
    pub item: ItemId,
    /// When.
    pub day: Date,
    /// All that the buyer paid; none when it is not known.
    pub price: Option<Money>,
    /// What others took of it.
    pub fees: Money,
    /// What the seller paid for sending it.
    pub postage: Money,
    /// The order that it is a part of.
    pub order: Option<Title>,
}

/// What is to be changed of an item's sale.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct SaleEdit {
    /// When.
    pub day: Option<Date>,
    /// All that the buyer paid.
    pub price: Edit<Money>,
    /// What others took of it.
    pub fees: Option<Money>,
    /// What the seller paid for sending it.
    pub postage: Option<Money>,
    /// The order that it is a part of.
    pub order: Edit<Title>,
}

macro_rules! sale_query {
    ($tail:literal) => {
        concat!(
            "SELECT id, day, price, fees, postage, order_no, picked, returned,
                (SELECT coalesce(sum(amount), 0) FROM refund WHERE refund.sale = sale.id) AS refunded
             FROM sale ",
            $tail
        )
    };
}

impl Sale {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let known = |minor: i64| Ok::<_, rusqlite::Error>(money(Some(minor))?.unwrap_or_default());
        let day: Option<Date> = date(row.get("day")?)?;
        Ok(Self {
            day: day.unwrap_or_default(),
            price: money(row.get("price")?)?,
            fees: known(row.get("fees")?)?,
            postage: known(row.get("postage")?)?,
            order: row.get("order_no")?,
            picked: date(row.get("picked")?)?,
            returned: date(row.get("returned")?)?,
            refunded: known(row.get("refunded")?)?,
            id: row.get("id")?,
        })
    }

    /// What can still be given back; none when the price is not known.
    #[must_use]
    pub fn refundable(&self) -> Option<Money> {
        self.price.map(|price| Money::from_minor(price.minor() - self.refunded.minor()).unwrap_or_default())
    }
}

impl SaleEdit {
    /// Whether it changes nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    fn apply(&self, row: &mut SaleRow) {
        let minor = Money::minor;
        row.day = self.day.map_or_else(|| std::mem::take(&mut row.day), |day| day.to_string());
        self.price.apply(&mut row.price, |price| price.minor());
        row.fees = self.fees.map_or(row.fees, minor);
        row.postage = self.postage.map_or(row.postage, minor);
        self.order.apply(&mut row.order_no, |order| order.as_str().to_owned());
    }
}

impl Register {
    /// Sells items, all of them or none: they stay in their bins until they are picked. `mapping` is what the columns of
    /// the file mean that they come from, to be remembered.
    ///
    /// # Errors
    /// [`RegisterError::SoldBefore`]; [`RegisterError::CannotSell`] for one that waits for a bin or is gone.
    pub fn sell(
        &mut self,
        what: &str,
        sales: &[NewSale],
        mapping: Option<&NewMapping>,
    ) -> Result<Option<ChangeId>, RegisterError> {
        let change = self.begin(what)?;
        sales.iter().try_for_each(|sale| sell_in(&change, sale))?;
        mapping.map_or(Ok(()), |mapping| remember_in(&change, mapping))?;
        change.commit()
    }

    /// Corrects the sales of items that are sold and have not come back, all of them or none. `None` when nothing came
    /// out different.
    ///
    /// # Errors
    /// [`RegisterError::NotSold`]; [`RegisterError::PriceBelowRefund`].
    pub fn edit_sales(&mut self, edits: &[(Item, SaleEdit)]) -> Result<Option<ChangeId>, RegisterError> {
        let items: Vec<Item> = edits.iter().map(|(item, _)| item.clone()).collect();
        let change = self.begin(&format!("amend the sale of {}", named(&items)))?;
        for (item, edit) in edits {
            let sale = open_sale_in(&change, item)?;
            if matches!(edit.price, Edit::Set(price) if price < sale.refunded) {
                return Err(RegisterError::PriceBelowRefund(item.name()));
            }
            change.rewrite::<SaleRow>("sale amended", &sale.id.into(), |row| {
                edit.apply(row);
                Ok(())
            })?;
        }
        change.commit()
    }

    /// How an item was sold the last time, whether or not it has come back since.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn sale_of(&self, item: &Item) -> Result<Option<Sale>, RegisterError> {
        sale_in(&self.connection, item)
    }

    /// All sales of an item, also those that came back, the first one first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn sales_of(&self, item: &Item) -> Result<Vec<Sale>, RegisterError> {
        let mut query = self.connection.prepare_cached(sale_query!("WHERE item = ?1 ORDER BY id"))?;
        let sales = query.query_map([item.id.0], Sale::from_row)?;
        Ok(sales.collect::<Result<_, _>>()?)
    }
}

/// What was sold, in the words for a change.
#[must_use]
pub fn sold_words(items: &[Item], order: Option<&str>) -> String {
    let order = order.map(|order| format!(" for order {order}")).unwrap_or_default();
    format!("sell {}{order}", named(items))
}

fn sell_in(change: &Change<'_>, sale: &NewSale) -> Result<(), RegisterError> {
    let item = present_in(change, sale.item)?;
    if let Some(sold) = item.sold.clone() {
        return Err(RegisterError::SoldBefore { item: item.name(), sold });
    }
    if !matches!(item.status, Status::Held | Status::Listed) {
        return Err(RegisterError::CannotSell { item: item.name(), status: item.status });
    }
    let row = SaleRow {
        item: sale.item.0,
        day: sale.day.to_string(),
        price: sale.price.map(Money::minor),
        fees: sale.fees.minor(),
        postage: sale.postage.minor(),
        order_no: sale.order.as_ref().map(|order| order.as_str().to_owned()),
        listed: item.listed.map(|day| day.to_string()),
        picked: None,
        returned: None,
    };
    change.insert("sale added", &row)?;
    change.rewrite::<ItemRow>("item sold", &sale.item.0.into(), |row| {
        (row.state, row.listed) = ("sold".into(), None);
        Ok(())
    })?;
    Ok(())
}

/// The item as it is at this moment, which may no longer be what it was read as.
pub(super) fn present_in(change: &Change<'_>, item: ItemId) -> Result<Item, RegisterError> {
    let sql = item_query!("WHERE item.id = ?1");
    Ok(change.prepare_cached(sql)?.query_row([item.0], Item::from_row)?)
}

pub(super) fn sale_in(connection: &Connection, item: &Item) -> Result<Option<Sale>, RegisterError> {
    let sql = sale_query!("WHERE item = ?1 ORDER BY returned IS NOT NULL, id DESC LIMIT 1");
    Ok(connection.prepare_cached(sql)?.query_row([item.id.0], Sale::from_row).optional()?)
}

/// The sale of an item that has not come back.
pub(super) fn open_sale_in(change: &Change<'_>, item: &Item) -> Result<Sale, RegisterError> {
    let sale = sale_in(change, item)?.filter(|sale| sale.returned.is_none());
    sale.ok_or_else(|| RegisterError::NotSold { item: item.name(), status: item.status })
}

impl std::fmt::Display for SoldAs {
    /// `sold on 2026-11-20 for order 77, not picked yet`
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "sold on {}", self.day)?;
        self.order.as_ref().map_or(Ok(()), |order| write!(f, " for order {order}"))?;
        match self.picked {
            Some(day) => write!(f, ", picked on {day}"),
            None => f.write_str(", not picked yet"),
        }
    }
}
