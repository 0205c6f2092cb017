//! Sales as users ask for them: what was paid for an order, shared out over its items.
//!
//! Start with [`sell`]; [`amend`] corrects what became known later. Whether a day lies ahead is told, not refused:
//! orders come with days of other time zones.

use jiff::civil::Date;

use crate::{
    plan::shares,
    register::{ChangeId, Edit, Item, ItemId, NewSale, Register, RegisterError, Sale, SaleEdit, Title, sold_words},
    unit::{Currency, Money},
};

/// What is known of a sale, for all its items together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SaleOptions {
    /// All that the buyer paid; none when it is not known.
    pub price: Option<Money>,
    /// What others took of it.
    pub fees: Money,
    /// What the seller paid for sending it.
    pub postage: Money,
    /// When.
    pub day: Date,
    /// The order.
    pub order: Option<Title>,
}

/// How figures were shared out over items.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sharing {
    /// There was one item only, or nothing to share.
    None,
    /// In proportion to what was asked for each.
    ByAsking,
    /// Evenly, since this item has no asking price.
    Evenly(ItemId),
}

/// Sells items of one order, all of them or none.
///
/// # Errors
/// As [`Register::sell`].
pub fn sell(
    register: &mut Register,
    items: &[Item],
    options: &SaleOptions,
) -> Result<(Sharing, Option<ChangeId>), RegisterError> {
    let order = options.order.as_ref().map(Title::as_str);
    let change = register.sell(&sold_words(items, order), &new_sales(items, options), None)?;
    let has_any = options.price.is_some() || [options.fees, options.postage].iter().any(|money| money.minor() > 0);
    Ok((if has_any { sharing(items) } else { Sharing::None }, change))
}

/// The sales of the items of one order.
fn new_sales(items: &[Item], options: &SaleOptions) -> Vec<NewSale> {
    let prices = options.price.map(|price| shared(price, items));
    let (fees, postages) = (shared(options.fees, items), shared(options.postage, items));
    let sale = |(at, item): (usize, &Item)| NewSale {
        item: item.id(),
        day: options.day,
        price: prices.as_ref().map(|prices| prices[at]),
        fees: fees[at],
        postage: postages[at],
        order: options.order.clone(),
    };
    items.iter().enumerate().map(sale).collect()
}

/// Corrects the sales of items of one order, all of them or none; what is given is shared out anew.
///
/// # Errors
/// As [`Register::edit_sales`].
pub fn amend(
    register: &mut Register,
    items: &[Item],
    edit: &SaleEdit,
) -> Result<(Sharing, Option<ChangeId>), RegisterError> {
    let share = |money: Option<Money>| money.map(|money| shared(money, items));
    let price = if let Edit::Set(price) = edit.price { Some(price) } else { None };
    let (prices, fees, postages) = (share(price), share(edit.fees), share(edit.postage));
    let one = |(at, item): (usize, &Item)| {
        let part = |parts: &Option<Vec<Money>>| parts.as_ref().map(|parts| parts[at]);
        let price = part(&prices).map_or_else(|| edit.price.clone(), Edit::Set);
        (item.clone(), SaleEdit { price, fees: part(&fees), postage: part(&postages), ..edit.clone() })
    };
    let change = register.edit_sales(&items.iter().enumerate().map(one).collect::<Vec<_>>())?;
    let is_shared = prices.is_some() || fees.is_some() || postages.is_some();
    Ok((if is_shared { sharing(items) } else { Sharing::None }, change))
}

/// Which way figures are shared out over these items.
#[must_use]
pub fn sharing(items: &[Item]) -> Sharing {
    let unpriced = items.iter().find(|item| item.asking.is_none_or(|asking| asking.minor() == 0));
    match (items.len(), unpriced) {
        (..2, _) => Sharing::None,
        (_, Some(item)) => Sharing::Evenly(item.id()),
        (_, None) => Sharing::ByAsking,
    }
}

/// `shared out by asking price`, or nothing.
#[must_use]
pub fn sharing_text(sharing: Sharing, items: &[Item]) -> Option<String> {
    match sharing {
        Sharing::None => None,
        Sharing::ByAsking => Some("shared out by asking price".into()),
        Sharing::Evenly(unpriced) => {
            let name = items.iter().find(|item| item.id() == unpriced).map(Item::name);
            Some(format!("shared out evenly, since {} has no asking price", name.unwrap_or_default()))
        }
    }
}

/// `refunded 24.95, all that the buyer paid`; `is_default` where no amount was named.
#[must_use]
pub fn refunded_text(given: Money, sale: &Sale, is_default: bool, currency: &Currency) -> String {
    let amount = currency.format(given);
    let order = sale.order.as_ref().map(|order| format!(" for order {order}")).unwrap_or_default();
    match sale.price {
        _ if given.minor() == 0 => format!("nothing was refunded{order}"),
        Some(price) if price == given => format!("refunded {amount}{order}, all that the buyer paid"),
        Some(price) => {
            let (all, price) = (currency.format(sale.refunded), currency.format(price));
            let rest = if is_default { ", the rest of what the buyer paid" } else { "" };
            format!("refunded {amount}{order}{rest}; {all} of {price} in all")
        }
        None => format!("refunded {amount}{order}; what the buyer paid is not known"),
    }
}

/// An amount shared out to the last cent.
fn shared(amount: Money, items: &[Item]) -> Vec<Money> {
    let by_asking = sharing(items) == Sharing::ByAsking;
    let weight = |item: &Item| item.asking.filter(|_| by_asking).map_or(1, Money::minor);
    let weights: Vec<i64> = items.iter().map(weight).collect();
    let parts = shares(amount.minor(), &weights).unwrap_or_default();
    parts.into_iter().map(|part| Money::from_minor(part).unwrap_or_default()).collect()
}
