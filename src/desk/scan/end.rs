//! The end of a count: what it found, and what is put right; and counts that were ticked instead of scanned.

use std::{collections::HashSet, sync::Arc};

use askama::Template;
use axum::{
    Form,
    extract::{Query, State as Shared},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    count::CountWork,
    session::{Area, Key, hold, new_id},
    work::Work,
};
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Told, Visitor},
        state::{Desk, on_a_thread},
    },
    job::{Count, CountError, Counted, bin_by_text, count, fixed_lines, place_text},
    register::{Bin, ChangeSummary, Fixed, Item, ItemFilter, Register, RegisterError, Status, Terms},
};

/// Items that are named one by one once the count is recorded.
const NAMED: usize = 5;

#[derive(Debug, Deserialize)]
pub(super) struct Which {
    session: String,
    /// The bin, as long as nothing was read: the count need not have begun then.
    #[serde(default)]
    bin: String,
}

#[derive(Debug, Template)]
#[template(path = "count_end.html")]
struct EndPage {
    shell: Shell,
    session: String,
    counted: Counted,
    /// Whether there is anything to put right.
    is_wrong: bool,
    /// Whether nothing at all was read.
    is_blank: bool,
}

impl EndPage {
    /// Whether nothing was read that a count keeps.
    fn is_unread(&self) -> bool {
        let Counted { present, misplaced, unknown, .. } = &self.counted;
        present.is_empty() && misplaced.is_empty() && unknown.is_empty()
    }

    fn heading(&self) -> String {
        let counted = &self.counted;
        let number = |items: &[Item]| items.len();
        format!(
            "{} present, {} missing, {} found here but belonging elsewhere, {} unknown",
            number(&counted.present),
            number(&counted.missing),
            number(&counted.misplaced),
            counted.unknown.len()
        )
    }
}

/// What the count has found; nothing is recorded yet.
pub(super) async fn page(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Query(which): Query<Which>,
) -> Result<Page<impl Template>, Refusal> {
    let key = Key::new(visitor.device.id, Area::Count, &which.session)?;
    let (at, session) = (Arc::clone(&desk), which.session.clone());
    let (counted, is_blank) = on_a_thread(move || {
        let going = counting(&at, &key, &which.bin)?;
        let is_blank = going.left().count() == going.expected() && going.read() == 0 && going.expected() > 0;
        Ok((at.ask(|register| going.found(register))?, is_blank))
    })
    .await?;
    let is_wrong = !(counted.missing.is_empty() && counted.misplaced.is_empty());
    let shell = visitor.shell(&desk, "Count", Place::Count);
    Ok(Page(EndPage { shell, session, counted, is_wrong, is_blank }))
}

/// The count as it stands; `bin` is the one of a page on which nothing was read yet.
fn counting(desk: &Desk, key: &Key, bin: &str) -> Result<Count, Refusal> {
    let gone = || Refusal::nothing("This count has ended, or the desk was started anew since. Begin it again.");
    let held = match desk.sessions.get(key) {
        None if !bin.is_empty() => return desk.ask(|register| CountWork::begin(register, bin).map(|work| work.count)),
        held => held.ok_or_else(gone)?,
    };
    match &hold(&held).work {
        Work::Count(work) => Ok(work.count.clone()),
        _ => Err(gone()),
    }
}

#[derive(Debug, Deserialize)]
pub(super) struct EndForm {
    session: String,
    #[serde(default)]
    bin: String,
    #[serde(default)]
    fix: bool,
}

/// Records the count, and puts right what it found if that was chosen.
pub(super) async fn record(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<EndForm>,
) -> Result<Go, Refusal> {
    let key = Key::new(visitor.device.id, Area::Count, &form.session)?;
    let (at, end) = (Arc::clone(&desk), key.clone());
    let told = on_a_thread(move || {
        if let Some(change) = at.ask(|register| recorded(register, &end.id))? {
            return Ok(told_before(&change));
        }
        let going = counting(&at, &end, &form.bin)?;
        let terms = Terms { scan: Some(end_of(&end.id)), unchanged: Vec::new() };
        match at.writer().on(terms, |register| going.finish(register, form.fix)) {
            Ok(counted) => Ok(told(&counted)),
            Err(CountError::Register(RegisterError::ScannedBefore(change))) => Ok(told_before(&change)),
            Err(why) => Err(why.into()),
        }
    })
    .await?;
    desk.sessions.end(&key);
    desk.tell(visitor.device.id, told);
    Ok(Go(format!("/count?ended={}", form.session)))
}

/// The number under which a count is recorded, as that of a scan is.
fn end_of(session: &str) -> String {
    format!("{session}-end")
}

/// The change that has recorded a count; it does not go on then.
pub(super) fn recorded(register: &Register, session: &str) -> Result<Option<ChangeSummary>, RegisterError> {
    register.change_of_scan(&end_of(session))
}

fn told_before(change: &ChangeSummary) -> Told {
    Told::done("This count was recorded already, and is not recorded again.", Some(change.id))
}

fn told(counted: &Counted) -> Told {
    let accuracy = counted.accuracy.percent().map(|percent| format!(" Accuracy {percent}.")).unwrap_or_default();
    let put_right = counted.fixed.as_ref().map(put_right).unwrap_or_default();
    let put_right = if put_right.is_empty() { String::new() } else { format!(" Put right: {}.", put_right.join("; ")) };
    Told::done(format!("The count of {} is recorded.{accuracy}{put_right}", counted.bin.code), counted.change)
}

/// Each by itself, or of many how many.
fn put_right(fixed: &Fixed) -> Vec<String> {
    let lines = fixed_lines(fixed);
    if lines.len() <= NAMED {
        return lines;
    }
    let parts =
        [(fixed.gone.len(), "gone from now on"), (fixed.moved.len(), "put here"), (fixed.left.len(), "left as is")];
    parts
        .iter()
        .filter(|(items, _)| *items > 0)
        .map(|(items, what)| format!("{} {what}", count(*items as u64, "item")))
        .collect()
}

#[derive(Debug, Deserialize)]
pub(super) struct TickAt {
    bin: String,
}

#[derive(Debug, Template)]
#[template(path = "count_tick.html")]
struct TickPage {
    shell: Shell,
    bin: Bin,
    items: Vec<Item>,
    here: HashSet<String>,
    found: String,
    refused: Option<String>,
}

impl TickPage {
    fn is_here(&self, item: &Item) -> bool {
        self.here.contains(&item.id().to_string())
    }

    fn place(&self) -> String {
        place_text(&self.bin.place)
    }

    fn is_sold(item: &Item) -> bool {
        item.status == Status::Sold
    }
}

/// The items of a bin, to be ticked.
pub(super) async fn tick_page(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Query(at): Query<TickAt>,
) -> Result<Response, Refusal> {
    show_ticks(&desk, &visitor, at.bin, HashSet::new(), String::new(), None).await
}

async fn show_ticks(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    bin: String,
    here: HashSet<String>,
    found: String,
    refused: Option<Refusal>,
) -> Result<Response, Refusal> {
    let (bin, items) = desk
        .read(move |register| {
            let bin = bin_by_text(register, &bin)?;
            let items = register.items(&ItemFilter::within(bin.code))?;
            Ok::<_, CountError>((bin, items))
        })
        .await?;
    let shell = visitor.shell(desk, "Count by ticking", Place::Count);
    let status = refused.as_ref().map_or(StatusCode::OK, |refusal| refusal.status);
    let refused = refused.map(|refusal| refusal.text);
    Ok((status, Page(TickPage { shell, bin, items, here, found, refused })).into_response())
}

/// Takes what was ticked, and shows what that means.
pub(super) async fn tick(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Form(fields): Form<Vec<(String, String)>>,
) -> Result<Response, Refusal> {
    let of = |name: &str| fields.iter().filter(|(key, _)| key == name).map(|(_, value)| value.clone()).collect();
    let (bins, here, shown): (Vec<String>, HashSet<String>, Vec<String>) =
        (of("bin"), of("here").into_iter().collect(), of("shown"));
    let (bin, found) = (bins.into_iter().next().unwrap_or_default(), of("found").concat());
    let missing: Vec<String> = shown.into_iter().filter(|item| !here.contains(item)).collect();
    let strangers: Vec<String> =
        found.lines().map(|line| line.trim().to_owned()).filter(|line| !line.is_empty()).collect();
    let code = bin.clone();
    let ticked = desk
        .read(move |register| {
            let bin = bin_by_text(register, &code)?;
            Count::ticked(register, bin, &missing, &strangers)
        })
        .await;
    match ticked {
        Err(refusal) => show_ticks(&desk, &visitor, bin, here, found, Some(refusal)).await,
        Ok(count) => {
            let key = Key::new(visitor.device.id, Area::Count, &new_id()?)?;
            let to = format!("/count/end?session={}", key.id);
            desk.sessions.open(key, Work::Count(CountWork { count }));
            Ok(Go(to).into_response())
        }
    }
}
