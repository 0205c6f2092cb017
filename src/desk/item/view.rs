//! What the page of an item shows.
//!
//! Start with [`look`].

use askama::Template;

use super::{
    deed::Deed,
    forms::{Form, Stuff},
    typed::Typed,
};
use crate::{
    desk::{
        answer::Refusal,
        shell::Shell,
        words::{bare, quoted, sentence},
    },
    job::{
        ReferenceError, Settings, bulk_text, fate, found_by_text, history, local_time, retag_cost, room_for, sizes,
        stack_text, today,
    },
    register::{Found, Item, Register, Sale, Status},
    unit::{Currency, Money},
};

/// Bins with room that are offered.
const MOST_OFFERED: usize = 3;

/// What the page is asked to show besides the item.
#[derive(Debug, Default)]
pub(super) struct Asked {
    /// The form that is to be open.
    pub open: Option<Deed>,
    /// Why nothing was done with it, and what was typed.
    pub refused: Option<(String, Typed)>,
}

/// What is called so.
#[derive(Debug)]
pub(super) enum Looked {
    Item(Box<ItemView>),
    Bin(String),
    /// Nothing; these may have been meant.
    Nothing(Vec<String>),
}

#[derive(Debug, Template)]
#[template(path = "item.html")]
pub(super) struct ItemPage {
    pub shell: Shell,
    pub item: ItemView,
}

/// An item as its page shows it.
#[derive(Debug)]
pub(super) struct ItemView {
    pub title: String,
    pub name: String,
    /// The bin that it is in.
    pub plate: Option<String>,
    /// What stands in its place where it is in none.
    pub bare: &'static str,
    pub place: Vec<String>,
    pub state: String,
    pub notes: Vec<String>,
    pub seen: String,
    pub facts: Vec<(&'static str, String)>,
    pub sales: Vec<Vec<(&'static str, String)>>,
    /// Codes and labels from before.
    pub before: Vec<String>,
    /// When, and what was done; the newest first.
    pub history: Vec<(String, String)>,
    /// The form that was asked for, else the usual next thing.
    pub first: Option<Form>,
    /// What else can be done.
    pub others: Vec<Form>,
    pub bins: Vec<(String, String)>,
    pub sizes: Vec<String>,
    pub is_tagged: bool,
    pub has_code: bool,
    pub is_to_pick: bool,
}

/// Looks an item up, with all that its page shows as it is at one moment.
pub(super) fn look(register: &Register, name: &str, asked: &Asked) -> Result<Looked, Refusal> {
    register.at_one_moment(|register| {
        Ok(match found_by_text(register, name) {
            Ok(Found::Item(item)) => Looked::Item(Box::new(ItemView::of(register, &item, asked)?)),
            Ok(Found::Bin(bin)) => Looked::Bin(bin.code.to_string()),
            Err(ReferenceError::Unknown { near, .. }) => Looked::Nothing(near),
            Err(other) => return Err(other.into()),
        })
    })
}

impl ItemView {
    fn of(register: &Register, item: &Item, asked: &Asked) -> Result<Self, Refusal> {
        let currency = Settings::of(register)?.currency;
        let sales = register.sales_of(item)?;
        let (first, others) = forms(register, item, (&sales, &currency), asked)?;
        let lines = history(register, &Found::Item(item.clone()), &currency, None, (None, None))?.lines;
        let is_tagged = register.tagged([item.id()])?.contains(&item.id());
        let codes = register.codes_before(item)?.into_iter().map(|code| code.to_string());
        let wants_bins = item.status != Status::Undone;
        Ok(Self {
            title: item.title.clone(),
            name: item.name(),
            plate: item.bin().map(|bin| bin.to_string()),
            bare: bare(item.status),
            place: place(item),
            state: state(item, is_tagged),
            notes: notes(item),
            seen: register.version(item.id())?.to_string(),
            facts: facts(item, &currency),
            sales: sales.iter().rev().map(|sale| sale_facts(sale, &currency)).collect(),
            before: codes.chain(register.old_codes(item)?).collect(),
            history: lines.into_iter().rev().map(|line| (local_time(&line.at), quoted(&line.text))).collect(),
            first,
            others,
            bins: if wants_bins { all_bins(register)? } else { Vec::new() },
            sizes: sizes(register)?.into_iter().map(|size| size.name).collect(),
            is_tagged,
            has_code: item.code.is_some() && item.stowed.is_some(),
            is_to_pick: item.status == Status::Sold,
        })
    }
}

type Forms = (Option<Form>, Vec<Form>);

fn forms(
    register: &Register,
    item: &Item,
    (sales, currency): (&[Sale], &Currency),
    asked: &Asked,
) -> Result<Forms, Refusal> {
    let sale = sales.iter().find(|sale| sale.returned.is_none()).or(sales.last());
    let stuff = Stuff {
        item,
        sale,
        currency,
        cost: retag_cost(register, std::slice::from_ref(item))?,
        today: today().to_string(),
        bins: if item.stowed.is_none() { offered(register, item)? } else { Vec::new() },
    };
    let form = |deed| {
        let is_asked = asked.open == Some(deed);
        let back = asked.refused.as_ref().filter(|_| is_asked);
        Form { is_open: is_asked, ..stuff.form(deed, back) }
    };
    let mut forms: Vec<Form> = Deed::of(item, sale).into_iter().map(form).collect();
    let asked_for = asked.open.and_then(|deed| forms.iter().position(|known| known.deed == deed));
    let first = match (asked_for, asked.open, &asked.refused) {
        (Some(at), ..) => Some(forms.remove(at)),
        // What is not done with such an item any more tells why, all the same.
        (None, Some(deed), Some(_)) => Some(form(deed)),
        // The usual next thing of a sold item is to pick it, which is no form.
        _ if forms.is_empty() || item.status == Status::Sold => None,
        _ => Some(forms.remove(0)),
    };
    Ok((first, forms))
}

/// The bins that take it best, with how full they are then.
fn offered(register: &Register, item: &Item) -> Result<Vec<(String, String)>, Refusal> {
    let found = if register.has_room()? { room_for(register, &item.bulk)? } else { None };
    let bins = found.map(|found| found.bins).unwrap_or_default();
    let told = bins.iter().take(MOST_OFFERED).map(|(bin, fill)| {
        let full = fill.percent(&bin.room).map(|percent| format!("{percent} % full then"));
        (bin.code.to_string(), full.unwrap_or_default())
    });
    Ok(told.collect())
}

fn all_bins(register: &Register) -> Result<Vec<(String, String)>, Refusal> {
    let bins = register.bins(None)?;
    Ok(bins.iter().map(|bin| (bin.code.to_string(), crate::job::place_text(&bin.place))).collect())
}

fn place(item: &Item) -> Vec<String> {
    let Some(stowed) = &item.stowed else { return Vec::new() };
    let spot = stowed.place.spot.as_ref().map(|spot| spot.name.clone());
    std::iter::once(stowed.place.area_name.clone()).chain(spot).chain(stowed.stack.map(stack_text)).collect()
}

fn state(item: &Item, is_tagged: bool) -> String {
    let state = match item.status {
        Status::Waiting => "waits for a bin, and gets its code there".into(),
        Status::Held if is_tagged => "not listed yet".into(),
        Status::Held => "not listed yet, and its tag was not printed yet".into(),
        Status::Listed => item.listed.map_or_else(|| "listed".into(), |since| format!("listed since {since}")),
        Status::Undone => "its entry was taken back".into(),
        Status::Sold | Status::Picked | Status::Gone => fate(item).unwrap_or_default(),
    };
    sentence(&state)
}

fn notes(item: &Item) -> Vec<String> {
    let tag = item.tag_shows().zip(item.bin());
    let tag = tag.map(|(shown, bin)| format!("Its code names {shown}, but it is in {bin} now."));
    let listing = item.listing_code.filter(|_| item.status == Status::Listed);
    let listing = listing.map(|code| format!("Its listing still shows the code {code}."));
    tag.into_iter().chain(listing).collect()
}

fn amount(money: Money, currency: &Currency) -> String {
    let amount = currency.format(money);
    if currency.is_none() { amount } else { format!("{amount} {}", currency.code()) }
}

fn facts(item: &Item, currency: &Currency) -> Vec<(&'static str, String)> {
    let bulk = bulk_text(&item.bulk);
    let known = [
        ("Cost", item.cost.map(|cost| amount(cost, currency))),
        ("Asking", item.asking.map(|asking| amount(asking, currency))),
        ("Bought", item.bought.map(|day| day.to_string())),
        ("Size and weight", Some(bulk).filter(|bulk| !bulk.is_empty())),
        ("Note", item.note.clone()),
    ];
    known.into_iter().filter_map(|(label, value)| Some((label, value?))).collect()
}

fn sale_facts(sale: &Sale, currency: &Currency) -> Vec<(&'static str, String)> {
    let some = |money: Money| (money.minor() > 0).then(|| amount(money, currency));
    let known = [
        ("Sold", Some(sale.day.to_string())),
        ("Order", sale.order.clone()),
        ("Paid", Some(sale.price.map_or_else(|| "not known".into(), |price| amount(price, currency)))),
        ("Fees", some(sale.fees)),
        ("Postage", some(sale.postage)),
        ("Picked", sale.picked.map(|day| day.to_string())),
        ("Came back", sale.returned.map(|day| day.to_string())),
        ("Given back", some(sale.refunded)),
    ];
    known.into_iter().filter_map(|(label, value)| Some((label, value?))).collect()
}
