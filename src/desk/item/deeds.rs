//! The forms of an item's page are done: what was typed → validated options → the call that a command makes too.
//!
//! Start with [`make`]. Each is done only if the item still is as the user saw it.

use super::{deed::Deed, typed::Typed};
use crate::{
    desk::{answer::Refusal, meanwhile::with_what_was_done, shell::Told, words::sentence},
    job::{
        RetagChoice, SaleOptions, Settings, ahead_text, amend, bin_by_text, cost_text, fresh, item_by_text,
        items_by_text, move_line, place_text, refunded_text, retag, room_warnings, sell, sharing_text, size_by_text,
        today,
    },
    register::{BulkEdit, ChangeId, Edit, Item, ItemEdit, NewRefund, Register, SaleEdit, Terms, Title, Version},
    unit::{Currency, Measures, Volume, Weight},
};

/// What is said of what was done, and the change that takes it back.
struct Done {
    /// Sentences.
    said: Vec<String>,
    /// What is to be looked at.
    warnings: Vec<String>,
    change: Option<ChangeId>,
}

impl Done {
    fn new(said: impl Into<String>, change: Option<ChangeId>) -> Self {
        Self { said: vec![said.into()], warnings: Vec::new(), change }
    }

    fn warn(mut self, warning: Option<String>) -> Self {
        self.warnings.extend(warning);
        self
    }

    fn told(self) -> Told {
        let is_warning = !self.warnings.is_empty();
        let text = self.said.iter().chain(&self.warnings).map(|text| sentence(text)).collect::<Vec<_>>().join(" ");
        Told { is_warning, ..Told::done(text, self.change) }
    }
}

/// What is said where a form was sent as it was.
const NOTHING_NEW: &str = "nothing was different, so nothing was changed";

/// Does what a form of an item's page says. Gives what is to be said, and what the item is called by now.
pub(super) fn make(register: &mut Register, name: &str, deed: Deed, typed: &Typed) -> Result<(Told, String), Refusal> {
    let item = item_by_text(register, name)?;
    let currency = Settings::of(register)?.currency;
    let seen = typed.given("seen").and_then(Version::parse);
    let seen = seen
        .ok_or_else(|| Refusal::input("Something was missing in what was sent. Look at the item, and do it again."))?;
    let terms = Terms { scan: None, unchanged: vec![(item.id(), seen)] };
    let done = register.on(terms.clone(), |register| match deed {
        Deed::Put => put(register, &item, typed),
        Deed::Edit => edit(register, &item, typed, &currency),
        Deed::Listed => listed(register, &item, typed, &currency),
        Deed::Sold => sold(register, &item, typed, &currency),
        Deed::Amend => amended(register, &item, typed, &currency),
        Deed::Return => returned(register, &item, typed, &currency),
        Deed::Refund => refunded(register, &item, typed, &currency),
        Deed::Gone => gone(register, &item, typed),
        Deed::Retag => recoded(register, &item),
        Deed::Alias => alias(register, &item, typed),
    });
    let done = done.map_err(|refusal| with_what_was_done(register, &terms, refusal))?;
    let name = register.item(item.id())?.map_or_else(|| item.name(), |item| item.name());
    Ok((done.told(), name))
}

const NO_BIN: &str = "Say which bin it goes into: scan its sign, or type its code, such as 4A.";

fn put(register: &mut Register, item: &Item, typed: &Typed) -> Result<Done, Refusal> {
    let bin = bin_by_text(register, typed.needed("bin", NO_BIN)?)?;
    let (moves, change) = register.move_items(std::slice::from_ref(item), bin.code)?;
    let said = moves.first().map(|moved| move_line(moved, &bin.place));
    let done = Done::new(said.unwrap_or_else(|| format!("it is in {} already", bin.code)), change);
    Ok(warned(done, register, item))
}

/// The item is in, whatever comes of reading all others for a warning.
fn warned(mut done: Done, register: &Register, item: &Item) -> Done {
    let items = fresh(register, std::slice::from_ref(item)).unwrap_or_default();
    let warnings = room_warnings(register, &items).unwrap_or_default();
    done.warnings.extend(warnings.iter().map(ToString::to_string));
    done
}

fn edit(register: &mut Register, item: &Item, typed: &Typed, currency: &Currency) -> Result<Done, Refusal> {
    let money = |name, label| typed.edit(name, label, |text| currency.parse(text));
    let title = match typed.edit("title", "Title", Title::new)? {
        Edit::Set(title) => Some(title),
        Edit::Clear => return Err(Refusal::input("The title is empty. Say what it is.")),
        Edit::Keep => None,
    };
    let size = |name: &str| Ok::<_, Refusal>(Title::new(&size_by_text(register, name)?.name)?);
    let size = match typed.given("size").filter(|_| typed.is_changed("size")) {
        Some(name) => Edit::Set(size(name)?),
        None => typed.edit("size", "Size", Title::new)?,
    };
    let edit = ItemEdit {
        title,
        cost: money("cost", "What it cost")?,
        asking: money("asking", "Asking price")?,
        bought: typed.edit("bought", "Bought on", crate::exchange::parse_date)?,
        note: typed.edit("note", "Note", Title::new)?,
        bulk: BulkEdit {
            volume: typed.edit("litres", "Litres", Volume::parse)?,
            measures: typed.edit("measures", "Measures", Measures::parse)?,
            size,
            weight: typed.edit("grams", "Grams", Weight::parse_grams)?,
        },
    };
    let change = register.edit_items(std::slice::from_ref(item), &edit)?;
    let done = Done::new(if change.is_some() { "saved" } else { NOTHING_NEW }, change);
    // Only what was said of its size or weight can make a bin too full.
    Ok(if edit.bulk == BulkEdit::default() { done } else { warned(done, register, item) })
}

fn listed(register: &mut Register, item: &Item, typed: &Typed, currency: &Currency) -> Result<Done, Refusal> {
    let asking = typed.amount("asking", "Asking price", currency)?;
    let day = typed.date("on", "Since")?;
    let change = register.list_items(std::slice::from_ref(item), asking, day)?;
    let unpriced =
        (asking.or(item.asking).is_none()).then(|| "it has no asking price, so its value is not known".into());
    let said = if change.is_some() { "it is listed" } else { NOTHING_NEW };
    Ok(Done::new(said, change).warn(unpriced).warn(day.and_then(ahead_text)))
}

fn sold(register: &mut Register, item: &Item, typed: &Typed, currency: &Currency) -> Result<Done, Refusal> {
    let day = typed.date("on", "Sold on")?.unwrap_or_else(today);
    let options = SaleOptions {
        price: typed.amount("price", "The buyer paid", currency)?,
        fees: typed.amount("fees", "Fees", currency)?.unwrap_or_default(),
        postage: typed.amount("postage", "Postage", currency)?.unwrap_or_default(),
        day,
        order: typed.read("order", "Order", Title::new)?,
    };
    let codes = typed.given("with").unwrap_or_default().split(|c: char| c.is_whitespace() || c == ',');
    let codes = codes.filter(|code| !code.is_empty()).map(str::to_owned);
    let items = items_by_text(register, &std::iter::once(item.name()).chain(codes).collect::<Vec<_>>())?;
    let (sharing, change) = sell(register, &items, &options)?;
    let said = match items.as_slice() {
        [only] => format!("{} is sold and has to be picked{}", only.name(), place_of(only)),
        many => format!("{} items are sold and have to be picked", many.len()),
    };
    let unpriced = options.price.is_none().then(|| "the price is not known yet".into());
    let mut done = Done::new(said, change).warn(ahead_text(day)).warn(unpriced);
    done.said.extend(sharing_text(sharing, &items));
    Ok(done)
}

fn place_of(item: &Item) -> String {
    let place = item.stowed.as_ref().map(|stowed| format!(" from {}, {}", stowed.bin, place_text(&stowed.place)));
    place.unwrap_or_default()
}

fn amended(register: &mut Register, item: &Item, typed: &Typed, currency: &Currency) -> Result<Done, Refusal> {
    let figure = |name, label| -> Result<_, Refusal> {
        Ok(match typed.edit(name, label, |text| currency.parse(text))? {
            Edit::Keep => None,
            Edit::Clear => Some(crate::unit::Money::default()),
            Edit::Set(money) => Some(money),
        })
    };
    let day = typed.date("on", "Sold on")?.filter(|_| typed.is_changed("on"));
    let edit = SaleEdit {
        day,
        price: typed.edit("price", "The buyer paid", |text| currency.parse(text))?,
        fees: figure("fees", "Fees")?,
        postage: figure("postage", "Postage")?,
        order: typed.edit("order", "Order", Title::new)?,
    };
    let (_, change) = amend(register, std::slice::from_ref(item), &edit)?;
    let said = if change.is_some() { "the sale is corrected" } else { NOTHING_NEW };
    Ok(Done::new(said, change).warn(day.and_then(ahead_text)))
}

fn returned(register: &mut Register, item: &Item, typed: &Typed, currency: &Currency) -> Result<Done, Refusal> {
    let bin = bin_by_text(register, typed.needed("bin", NO_BIN)?)?;
    let refund = new_refund(typed, currency)?;
    let (given, change) = register.take_back(item, bin.code, refund)?;
    let mut done = Done::new(format!("it is back in {}, {}, not listed", bin.code, place_text(&bin.place)), change);
    let sale = register.sale_of(item)?;
    done.said.extend(sale.map(|sale| refunded_text(given, &sale, refund.amount.is_none(), currency)));
    Ok(warned(done, register, item).warn(ahead_text(refund.day)))
}

fn refunded(register: &mut Register, item: &Item, typed: &Typed, currency: &Currency) -> Result<Done, Refusal> {
    typed.needed("refund", "Say what the buyer gets back.")?;
    let refund = new_refund(typed, currency)?;
    let (given, change) = register.refund(item, refund)?;
    let said = register.sale_of(item)?.map(|sale| refunded_text(given, &sale, false, currency));
    Ok(Done::new(said.unwrap_or_default(), change).warn(ahead_text(refund.day)))
}

fn new_refund(typed: &Typed, currency: &Currency) -> Result<NewRefund, Refusal> {
    Ok(NewRefund {
        amount: typed.amount("refund", "The buyer gets back", currency)?,
        postage: typed.amount("postage", "Postage", currency)?.unwrap_or_default(),
        day: typed.date("on", "On")?.unwrap_or_else(today),
    })
}

fn gone(register: &mut Register, item: &Item, typed: &Typed) -> Result<Done, Refusal> {
    let why = Title::new(typed.needed("why", "Say what became of it, such as: broken when it fell.")?)?;
    let day = typed.date("on", "Since")?.unwrap_or_else(today);
    let change = register.mark_gone(std::slice::from_ref(item), &why, day)?;
    let buyer = item.sold.is_some().then(|| "it is still sold, and its buyer waits for it or for the money".into());
    Ok(Done::new(format!("{} is gone", item.name()), change).warn(buyer).warn(ahead_text(day)))
}

fn recoded(register: &mut Register, item: &Item) -> Result<Done, Refusal> {
    let outcome = retag(register, &RetagChoice::Of(vec![item.name()]), false)?;
    let Some(retagged) = outcome.retagged.first() else { return Ok(Done::new(NOTHING_NEW, None)) };
    let cost = &outcome.cost;
    let renew = if cost.tags + cost.listings > 0 { format!("; {} to renew", cost_text(cost)) } else { String::new() };
    let said = format!("its code is {} now, and {} goes on finding it{renew}", retagged.item.name(), retagged.was);
    Ok(Done::new(said, outcome.change))
}

fn alias(register: &mut Register, item: &Item, typed: &Typed) -> Result<Done, Refusal> {
    let old = typed.needed("old", "Say what the label says.")?;
    let change = register.add_old_code(item, old)?;
    Ok(Done::new(format!("{} is found by `{old}` as well", item.name()), change))
}
