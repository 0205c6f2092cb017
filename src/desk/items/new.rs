//! Entering items one after the other, with the hands on the keyboard.
//!
//! The address carries what stays: the bin, the date, and what was entered since the page was opened.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    super::{
        answer::{Go, Page, Refusal},
        pairing::new_secret,
        sent::{Sent, SentForm, SentQuery},
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
    },
    entry::Entry,
    label_link,
};
use crate::{
    job::{Settings, item_line, place_text, room_warnings, today, whereabouts},
    register::{ChangeId, Item, ItemId, ItemOrder, ItemPage, NewItem, Register, RegisterError, Status, Terms},
};

/// So many are listed below the form.
const MOST: usize = 200;
/// More bins than that are not offered while one types.
const OFFERED: usize = 400;
/// What stays from one item to the next.
const KEPT: [&str; 3] = ["bin", "bought", "now"];

/// What is needed around the fields.
#[derive(Debug)]
struct Around {
    entry: Entry,
    /// The codes of bins and where they are.
    bins: Vec<(String, String)>,
    has_bins: bool,
    entered: Vec<Entered>,
    labels: Option<String>,
}

#[derive(Debug)]
struct Entered {
    name: String,
    title: String,
    place: String,
    cost: String,
    asking: String,
    /// The change that a button takes back.
    change: u32,
}

#[derive(Debug, Template)]
#[template(path = "item_new.html")]
struct NewPage {
    shell: Shell,
    around: Around,
    kept: Sent,
    /// A name for what is sent, so that it comes in once.
    scan: String,
}

/// The form.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(sent): SentQuery,
) -> Result<Page<impl Template>, Refusal> {
    let sent = Sent::from(sent);
    let mut kept = Sent::default();
    for name in KEPT {
        kept = kept.with(name, sent.given(name));
    }
    let (kept, around) = desk
        .read(move |register| {
            let kept = with_usual(register, kept)?;
            Around::new(register, &kept, &kept).map(|around| (kept, around))
        })
        .await?;
    show(&desk, &visitor, kept, around)
}

fn show(desk: &Arc<Desk>, visitor: &Visitor, kept: Sent, around: Around) -> Result<Page<NewPage>, Refusal> {
    let scan = new_secret()?;
    Ok(Page(NewPage { shell: visitor.shell(desk, "Enter items", Place::Items), around, kept, scan }))
}

/// Where nothing is said: today, and the bin of the item that was entered last, else the first one.
fn with_usual(register: &Register, mut kept: Sent) -> Result<Sent, RegisterError> {
    if kept.given("bought").is_none() {
        let today = today().to_string();
        kept = kept.with("bought", Some(&today));
    }
    if kept.given("bin").is_none() {
        let last = ItemPage { order: ItemOrder::Entered, reverse: true, most: 1, ..ItemPage::default() };
        let (last, _) = register.item_page(&last)?;
        let first = || Ok::<_, RegisterError>(register.bins(None)?.first().map(|bin| bin.code));
        let bin = last.first().and_then(Item::bin).map_or_else(first, |bin| Ok(Some(bin)))?;
        kept = kept.with("bin", bin.map(|bin| bin.to_string()).as_deref());
    }
    Ok(kept)
}

impl Around {
    fn new(register: &Register, sent: &Sent, kept: &Sent) -> Result<Self, RegisterError> {
        let bins = register.bins(None)?;
        let offered = bins.iter().take(OFFERED).map(|bin| (bin.code.to_string(), place_text(&bin.place)));
        let entered = entered(register, kept)?;
        let codes: Vec<&str> =
            entered.iter().map(|one| one.name.as_str()).filter(|name| !name.starts_with('#')).collect();
        Ok(Self {
            entry: Entry::new(register, sent)?,
            labels: (!codes.is_empty()).then(|| label_link(&codes)),
            bins: if bins.len() > OFFERED { Vec::new() } else { offered.collect() },
            has_bins: !bins.is_empty(),
            entered,
        })
    }

    fn tags(&self) -> usize {
        self.entered.iter().filter(|one| !one.name.starts_with('#')).count()
    }
}

/// What was entered since the page was opened and not taken back, the last first.
fn entered(register: &Register, kept: &Sent) -> Result<Vec<Entered>, RegisterError> {
    let currency = Settings::of(register)?.currency;
    let amount = |money| Option::map(money, |money| currency.format(money)).unwrap_or_default();
    let mut all = Vec::new();
    for (item, change) in now(kept).into_iter().rev() {
        let item = register.item(item)?.filter(|item| item.status != Status::Undone);
        all.extend(item.map(|item| Entered {
            name: item.name(),
            place: whereabouts(&item),
            cost: amount(item.cost),
            asking: amount(item.asking),
            title: item.title,
            change,
        }));
    }
    Ok(all)
}

/// `12-40.13-41`: items, and the changes that they came with.
fn now(kept: &Sent) -> Vec<(ItemId, u32)> {
    let one = |part: &str| {
        let (item, change) = part.split_once('-')?;
        Some((ItemId::parse(&format!("#{item}"))?, change.parse().ok()?))
    };
    kept.one("now").split('.').filter_map(one).collect()
}

fn with_now(kept: &Sent, item: ItemId, change: ChangeId) -> Sent {
    let mut all: Vec<String> = now(kept).iter().map(|(item, change)| format!("{}-{change}", item.get())).collect();
    all.push(format!("{}-{change}", item.get()));
    let newest = &all[all.len().saturating_sub(MOST)..];
    kept.with("now", Some(&newest.join(".")))
}

/// What came of a form that was sent.
enum Sending {
    Done { kept: Sent, told: Told },
    Refused(Box<Around>),
}

/// Enters an item, and comes back to the form.
pub(super) async fn enter(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(sent): SentForm,
) -> Result<Response, Refusal> {
    let sent = Sent::from(sent);
    let kept = KEPT.iter().fold(Sent::default(), |kept, name| kept.with(name, Some(sent.one(name))));
    let (asked, known) = (sent, kept.clone());
    match desk.change(move |register| add(register, &asked, &known)).await? {
        Sending::Done { kept, told } => {
            desk.tell(visitor.device.id, told);
            Ok(Go(kept.address("/items/new")).into_response())
        }
        Sending::Refused(around) => {
            let page = show(&desk, &visitor, kept, *around)?;
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

fn add(register: &mut Register, sent: &Sent, kept: &Sent) -> Result<Sending, RegisterError> {
    let mut around = Around::new(register, sent, kept)?;
    let Some(item) = around.entry.read(register)? else { return Ok(Sending::Refused(Box::new(around))) };
    let scan = Some(sent.one("scan").to_owned()).filter(|scan| !scan.is_empty());
    match register.on(Terms { scan, unchanged: Vec::new() }, |register| add_one(register, item)) {
        Ok((item, change)) => {
            let kept = change.map_or_else(|| kept.clone(), |change| with_now(kept, item.id(), change));
            Ok(Sending::Done { kept, told: told(register, &item) })
        }
        Err(RegisterError::ScannedBefore(_)) => {
            let told = Told::done("This was entered already, so it was not entered again.", None);
            Ok(Sending::Done { kept: kept.clone(), told })
        }
        Err(fault) => {
            around.entry.refuse(&fault);
            Ok(Sending::Refused(Box::new(around)))
        }
    }
}

fn add_one(register: &mut Register, item: NewItem) -> Result<(Item, Option<ChangeId>), RegisterError> {
    let title = item.title.as_str().to_owned();
    let (items, change) = register.noting(|register| register.add_items(&[item], None));
    let item = items?.into_iter().next().ok_or(RegisterError::NoName(title))?;
    Ok((item, change))
}

/// The item is in, whatever comes of reading all others for a warning.
fn told(register: &Register, item: &Item) -> Told {
    let warnings = room_warnings(register, std::slice::from_ref(item)).unwrap_or_default();
    let lines: Vec<String> = warnings.iter().map(|warning| format!(" {warning}.")).collect();
    Told { text: format!("{}.{}", item_line(item), lines.concat()), undo: None, is_warning: !lines.is_empty() }
}

/// Takes the entry of an item back.
pub(super) async fn take_back(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(sent): SentForm,
) -> Result<Go, Refusal> {
    let sent = Sent::from(sent);
    let change = sent.one("change").parse().map(ChangeId::new);
    let change = change.map_err(|_| Refusal::nothing("There is nothing to take back."))?;
    let undone = desk.change(move |register| register.undo(&[change])).await?;
    let what: Vec<String> = undone.into_iter().map(|change| change.what).collect();
    desk.tell(visitor.device.id, Told::done(format!("Taken back: {}.", what.join(", ")), None));
    let kept = KEPT.iter().fold(Sent::default(), |kept, name| kept.with(name, Some(sent.one(name))));
    Ok(Go(kept.address("/items/new")))
}
