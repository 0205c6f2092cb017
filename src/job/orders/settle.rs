//! Rows of a list of orders held against the register: what would be sold, what is on record, and what can't be.

use std::collections::HashMap;

use jiff::civil::Date;

use super::ByTitle;
use crate::{
    exchange::{Fault, OrderRow},
    job::{ReferenceError, item_by_text},
    register::{Item, ItemId, NewSale, Register, RegisterError, Sale, Status, Title},
};

/// What a row is to the register.
#[derive(Debug)]
pub(super) enum Row {
    /// A sale that is not on record.
    Sale(Box<DraftSale>),
    /// A sale that is.
    Known(KnownRow),
}

/// A sale that would be entered.
#[derive(Debug, Clone, PartialEq)]
pub struct DraftSale {
    /// The line of the file, from 1.
    pub line: u64,
    /// The item.
    pub item: Item,
    /// The title of the row by which the item was found, for want of a code.
    pub by_title: Option<Title>,
    /// What would be entered.
    pub sale: NewSale,
}

/// A row that is on record already.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KnownRow {
    /// The line of the file, from 1.
    pub line: u64,
    /// What the item is called by.
    pub item: String,
    /// The day of the sale on record.
    pub day: Date,
    /// Its order.
    pub order: Option<String>,
}

impl std::fmt::Display for KnownRow {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let order = self.order.as_ref().map(|order| format!(" for order {order}")).unwrap_or_default();
        write!(f, "line {}: {} is on record as sold on {}{order}", self.line, self.item, self.day)
    }
}

/// Looks rows up, each item once.
pub(super) struct Settler<'r> {
    register: &'r Register,
    by_title: ByTitle,
    today: Date,
    /// The lines on which items were met.
    items: HashMap<ItemId, u64>,
    /// The first line without a day.
    pub(super) undated: Option<u64>,
}

/// The item that a row is about, or its fault.
type Told<T> = Result<Result<T, Fault>, RegisterError>;

impl<'r> Settler<'r> {
    pub(super) fn new(register: &'r Register, by_title: ByTitle, today: Date) -> Self {
        Self { register, by_title, today, items: HashMap::new(), undated: None }
    }

    /// What a row is, or what is wrong with it.
    pub(super) fn settle(&mut self, line: u64, row: &OrderRow) -> Result<Result<Row, Vec<Fault>>, RegisterError> {
        let told = match (&row.code, &row.title) {
            (Some(code), _) => self.coded(code)?.map(|item| (item, None)),
            (None, Some(title)) => self.titled(row, title)?.map(|item| (item, Some(title.clone()))),
            // Such a row was refused when it was read.
            (None, None) => Err(("code", "it can't be told what was sold".to_owned())),
        };
        let (item, by_title) = match told {
            Ok(told) => told,
            Err(fault) => return Ok(Err(vec![fault])),
        };
        let field = if by_title.is_some() { "title" } else { "code" };
        let first = *self.items.entry(item.id()).or_insert(line);
        if first != line {
            return Ok(Err(vec![(field, format!("{} stands on line {first} already", item.name()))]));
        }
        if let Some(sale) = self.on_record(&item, row)? {
            let (day, order) = (sale.day, sale.order);
            return Ok(Ok(Row::Known(KnownRow { line, item: item.name(), day, order })));
        }
        Ok(match unsold(&item) {
            Err(why) => Err(vec![(field, why)]),
            Ok(()) => Ok(Row::Sale(Box::new(self.sale(line, item, by_title, row)))),
        })
    }

    fn sale(&mut self, line: u64, item: Item, by_title: Option<Title>, row: &OrderRow) -> DraftSale {
        if row.date.is_none() {
            self.undated.get_or_insert(line);
        }
        let sale = NewSale {
            item: item.id(),
            day: row.date.unwrap_or(self.today),
            price: row.price,
            fees: row.fees.unwrap_or_default(),
            postage: row.postage.unwrap_or_default(),
            order: row.order.clone(),
        };
        DraftSale { line, item, by_title, sale }
    }

    fn coded(&self, code: &str) -> Told<Item> {
        match item_by_text(self.register, code) {
            Ok(item) => Ok(Ok(item)),
            Err(ReferenceError::Register(fault)) => Err(fault),
            Err(fault) => Ok(Err(("code", fault.to_string()))),
        }
    }

    /// A sale of the item that the row may be about: of the same order, or of the same day where the row has none.
    fn on_record(&self, item: &Item, row: &OrderRow) -> Result<Option<Sale>, RegisterError> {
        let is_same = |sale: &Sale| match &row.order {
            Some(order) => sale.order.as_deref() == Some(order.as_str()),
            None => sale.order.is_none() && row.date == Some(sale.day),
        };
        Ok(self.register.sales_of(item)?.into_iter().find(is_same))
    }

    /// The item that a title is that of.
    fn titled(&self, row: &OrderRow, title: &Title) -> Told<Item> {
        let alike = self.register.items_titled_like(title)?;
        let is_free = |item: &&Item| !self.items.contains_key(&item.id());
        let is_exact = |item: &&Item| item.title.to_lowercase() == title.as_str().to_lowercase();
        let exact: Vec<&Item> = alike.iter().filter(is_exact).filter(is_free).collect();
        for item in &exact {
            if self.on_record(item, row)?.is_some() {
                return Ok(Ok((*item).clone()));
            }
        }
        let is_for_sale = |item: &&&Item| matches!(item.status, Status::Held | Status::Listed);
        let exact: Vec<&Item> = exact.iter().filter(is_for_sale).copied().collect();
        let near: Vec<&Item> = alike.iter().filter(is_free).filter(|item| is_for_sale(&item)).collect();
        let told = match (self.by_title, exact.as_slice(), near.as_slice()) {
            (ByTitle::Exact | ByTitle::Shown, [only], _) | (ByTitle::Shown, [], [only]) => Ok((*only).clone()),
            (ByTitle::Refused, [only], _) => Err(format!(
                "there is no code, and the title is that of {}; put the code into the file, or take what has that \
                 very title with --yes",
                only.name()
            )),
            (_, [], []) => Err("no item that is for sale has this title; put the code into the file".to_owned()),
            (_, [], near) => Err(format!("meant may be {}; put the code into the file", names(near))),
            (_, exact, _) => Err(format!("it is the title of {}; put the code into the file", names(exact))),
        };
        Ok(told.map_err(|why| ("title", format!("`{}`: {why}", title.as_str()))))
    }
}

/// At most this many are named.
const MOST_NAMED: usize = 5;

fn names(items: &[&Item]) -> String {
    let mut names: Vec<String> = items.iter().take(MOST_NAMED).map(|item| item.name()).collect();
    if items.len() > MOST_NAMED {
        names.push(format!("{} more", items.len() - MOST_NAMED));
    }
    names.join(", ")
}

/// Why an item can't be sold, in the words of the register.
fn unsold(item: &Item) -> Result<(), String> {
    let (name, status) = (item.name(), item.status);
    match (&item.sold, status) {
        (Some(sold), _) => Err(format!("{name} is {sold}; this row has another order or day")),
        (None, Status::Held | Status::Listed) => Ok(()),
        (None, _) => Err(RegisterError::CannotSell { item: name, status }.to_string()),
    }
}
