//! The list of items: sorted, narrowed and cut into pages by the register, however many there are.

use std::{collections::HashSet, sync::Arc};

use askama::Template;
use axum::{
    extract::{Query, State},
    response::{IntoResponse, Response},
};

use super::super::{
    answer::{Page, Refusal},
    sent::{Sent, SentQuery},
    shell::{Place, Shell, Visitor},
    state::Desk,
    words::{desk_words, grouped},
};
use crate::{
    exchange::parse_date,
    job::{Settings, bin_by_text, count, place_text, with_causes},
    register::{Area, Item, ItemFilter, ItemOrder, ItemPage, Register, RegisterError, Status, Version},
    unit::Currency,
};

/// Rows of a page.
const ROWS: usize = 100;
/// More bins than that are typed, not chosen.
const CHOSEN: usize = 300;
/// What narrows the list, as its address has it.
pub(super) const NARROWS: [&str; 6] = ["q", "state", "bin", "area", "since", "tag"];
/// What its address has besides.
pub(super) const KEPT: [&str; 9] = ["q", "state", "bin", "area", "since", "tag", "sort", "way", "page"];

/// The headings, and by what they sort.
const HEADS: [(&str, &str, ItemOrder); 8] = [
    ("Code", "code", ItemOrder::Code),
    ("Title", "title", ItemOrder::Title),
    ("Bin", "bin", ItemOrder::Bin),
    ("State", "state", ItemOrder::State),
    ("Asking", "asking", ItemOrder::Asking),
    ("Cost", "cost", ItemOrder::Cost),
    ("Bought", "bought", ItemOrder::Bought),
    ("Listed", "listed", ItemOrder::Listed),
];

/// What the states are called where one is chosen.
const STATES: [(&str, &str); 6] = [
    ("waiting", "waiting for a bin"),
    ("held", "held: in a bin, not listed"),
    ("listed", "listed"),
    ("sold", "sold, not picked yet"),
    ("picked", "picked"),
    ("gone", "gone"),
];

#[derive(Debug, Template)]
#[template(path = "items.html")]
pub(super) struct ListPage {
    shell: Shell,
    sent: Sent,
    states: [(&'static str, &'static str); 6],
    sorts: Vec<(&'static str, &'static str)>,
    areas: Vec<Area>,
    /// The codes of bins and where they are; none where there are too many.
    bins: Vec<(String, String)>,
    list: ListPart,
}

/// What follows from what is asked for.
#[derive(Debug, Template)]
#[template(path = "items_part.html")]
pub(super) struct ListPart {
    rows: Vec<Row>,
    heads: Vec<Head>,
    first: usize,
    total: usize,
    before: Option<String>,
    after: Option<String>,
    is_narrowed: bool,
    looks_only: bool,
    /// The address of this page, behind its question mark.
    here: String,
    /// Why there is no list, or what was asked for was not done.
    fault: Option<String>,
    /// The bin that was typed for those that are ticked.
    into: String,
}

#[derive(Debug)]
struct Row {
    /// What a tick sends: the item, and how it is now.
    key: String,
    is_ticked: bool,
    name: String,
    title: String,
    bin: String,
    place: String,
    state: &'static str,
    asking: String,
    cost: String,
    bought: String,
    listed: String,
}

#[derive(Debug)]
struct Head {
    name: &'static str,
    link: String,
    is_number: bool,
    /// `ascending` or `descending`, where the list is sorted by it.
    way: Option<&'static str>,
}

/// The page, or with something that is being typed the list alone.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(sent): SentQuery,
) -> Result<Response, Refusal> {
    let sent = usual(Sent::from(sent));
    if visitor.wants_part {
        let list = desk.read(move |register| ListPart::new(register, &sent, visitor.device.looks_only)).await?;
        return Ok(Page(list).into_response());
    }
    Ok(whole(&desk, &visitor, sent, Ticked::default()).await?.into_response())
}

/// By bin, where nothing else is asked for.
fn usual(sent: Sent) -> Sent {
    if sent.one("sort").is_empty() { sent.with("sort", Some("bin")) } else { sent }
}

/// What was ticked for something that was refused.
#[derive(Debug, Default)]
pub(super) struct Ticked {
    pub keys: HashSet<String>,
    pub into: String,
    pub fault: Option<String>,
}

/// The whole page.
pub(super) async fn whole(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    sent: Sent,
    ticked: Ticked,
) -> Result<Page<ListPage>, Refusal> {
    let shell = visitor.shell(desk, "Items", Place::Items);
    let looks_only = visitor.device.looks_only;
    let page = desk.read(move |register| ListPage::new(register, shell, sent, looks_only)).await?;
    let mut list = page.list;
    for row in &mut list.rows {
        row.is_ticked = ticked.keys.contains(&row.key);
    }
    let list = ListPart { into: ticked.into, fault: list.fault.or(ticked.fault), ..list };
    Ok(Page(ListPage { list, ..page }))
}

impl ListPage {
    fn new(register: &Register, shell: Shell, sent: Sent, looks_only: bool) -> Result<Self, RegisterError> {
        let bins = register.bins(None)?;
        let offered = bins.iter().map(|bin| (bin.code.to_string(), place_text(&bin.place)));
        Ok(Self {
            list: ListPart::new(register, &sent, looks_only)?,
            shell,
            states: STATES,
            sorts: HEADS.iter().map(|(name, word, _)| (*word, *name)).chain([("entered", "Entered")]).collect(),
            areas: register.areas()?,
            bins: if bins.len() > CHOSEN { Vec::new() } else { offered.collect() },
            sent,
        })
    }

    /// Whether a filter is in effect that a small screen would fold away.
    fn is_filtered(&self) -> bool {
        NARROWS.iter().any(|name| *name != "q" && !self.sent.one(name).is_empty())
    }
}

impl ListPart {
    fn new(register: &Register, sent: &Sent, looks_only: bool) -> Result<Self, RegisterError> {
        let sent = sent.only(&KEPT);
        let mut part = Self {
            rows: Vec::new(),
            heads: heads(&sent),
            first: 0,
            total: 0,
            before: None,
            after: None,
            is_narrowed: NARROWS.iter().any(|name| !sent.one(name).is_empty()),
            looks_only,
            here: sent.query(),
            fault: None,
            into: String::new(),
        };
        match wanted(register, &sent) {
            Ok(page) => part.fill(register, &sent, &page)?,
            Err(fault) => part.fault = Some(fault),
        }
        Ok(part)
    }

    fn fill(&mut self, register: &Register, sent: &Sent, page: &ItemPage) -> Result<(), RegisterError> {
        let currency = Settings::of(register)?.currency;
        let (items, total) = register.item_page(page)?;
        let number = page.first / ROWS + 1;
        let other = |number: usize| sent.with("page", Some(&number.to_string())).address("/items");
        self.before = (number > 1).then(|| other((number - 1).min(total.div_ceil(ROWS).max(1))));
        self.after = (page.first + ROWS < total).then(|| other(number + 1));
        (self.first, self.total) = (page.first, total);
        self.rows = items.iter().map(|item| Row::new(register, item, &currency)).collect::<Result<_, _>>()?;
        Ok(())
    }

    /// `Items 101 to 200 of 20,000`
    fn sum(&self) -> String {
        match (self.rows.len(), self.total) {
            (shown, total) if shown == total => count(total as u64, "item"),
            (0, total) => format!("{} on other pages", count(total as u64, "item")),
            (shown, total) => format!("Items {} to {} of {}", self.first + 1, self.first + shown, grouped(total)),
        }
    }
}

impl Row {
    fn new(register: &Register, item: &Item, currency: &Currency) -> Result<Self, RegisterError> {
        let amount = |money| Option::map(money, |money| currency.format(money)).unwrap_or_default();
        let day = |day: Option<jiff::civil::Date>| day.map(|day| day.to_string()).unwrap_or_default();
        Ok(Self {
            key: key(item, register.version(item.id())?),
            is_ticked: false,
            name: item.name(),
            title: item.title.clone(),
            bin: item.bin().map(|bin| bin.to_string()).unwrap_or_default(),
            place: item.stowed.as_ref().map(|stowed| place_text(&stowed.place)).unwrap_or_default(),
            state: item.status.word(),
            asking: amount(item.asking),
            cost: amount(item.cost),
            bought: day(item.bought),
            listed: day(item.listed),
        })
    }
}

/// `#12-345`: an item, and how it is.
pub(super) fn key(item: &Item, version: Version) -> String {
    format!("{}-{version}", item.id())
}

/// Which page is asked for, or what is wrong with that.
fn wanted(register: &Register, sent: &Sent) -> Result<ItemPage, String> {
    let said = |fault: &dyn std::error::Error| desk_words(&with_causes(fault));
    let given = |name: &str| Some(sent.one(name)).filter(|text| !text.is_empty());
    let bin = given("bin").map(|text| bin_by_text(register, text)).transpose().map_err(|fault| said(&fault))?;
    let area = given("area").map(str::parse).transpose().map_err(|fault| said(&fault))?;
    let since = given("since").map(parse_date).transpose().map_err(|fault| said(&fault))?;
    let states = given("state").and_then(Status::by_word).into_iter().collect();
    let page = sent.one("page").parse().unwrap_or(1_usize).clamp(1, 1_000_000);
    Ok(ItemPage {
        filter: ItemFilter { bin: bin.map(|bin| bin.code), area, untagged: given("tag").is_some(), states },
        listed_since: since,
        text: sent.one("q").to_owned(),
        order: order(sent),
        reverse: sent.one("way") == "down",
        first: (page - 1) * ROWS,
        most: ROWS,
    })
}

fn order(sent: &Sent) -> ItemOrder {
    if sent.one("sort") == "entered" {
        return ItemOrder::Entered;
    }
    let asked = HEADS.iter().find(|(_, word, _)| *word == sent.one("sort"));
    asked.map_or_else(ItemOrder::default, |(_, _, order)| *order)
}

/// Each leads to the list sorted by it, the present one to the other way round.
fn heads(sent: &Sent) -> Vec<Head> {
    let (now, is_down) = (order(sent), sent.one("way") == "down");
    let head = |(name, word, order): &(&'static str, &str, ItemOrder)| {
        let is_now = *order == now;
        let sorted = sent.with("page", None).with("sort", Some(word));
        Head {
            name,
            link: sorted.with("way", (is_now && !is_down).then_some("down")).address("/items"),
            is_number: matches!(order, ItemOrder::Asking | ItemOrder::Cost),
            way: is_now.then_some(if is_down { "descending" } else { "ascending" }),
        }
    };
    HEADS.iter().map(head).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_sorts_and_then_the_other_way_round() {
        let of = |query: &str| heads(&Sent::parse(query)).remove(1);
        assert_eq!(of("q=pan&page=3").link, "/items?q=pan&sort=title");
        let sorted = of("q=pan&sort=title");
        assert_eq!((sorted.link.as_str(), sorted.way), ("/items?q=pan&sort=title&way=down", Some("ascending")));
        let down = of("sort=title&way=down");
        assert_eq!((down.link.as_str(), down.way), ("/items?sort=title", Some("descending")));
    }
}
