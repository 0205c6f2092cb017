//! The Labels page: what is chosen, and the true pages beside it.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{RawQuery, State},
    response::{IntoResponse, Response},
};

use super::{
    super::{
        address::own_addresses,
        answer::{Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::Desk,
        words::desk_words,
    },
    choices::{CHANGED, Choices, Which, has_no_waiting},
    plan::{Plan, sheet_of},
    previews::screen_dpi,
    slots::SlotsPart,
};
use crate::{
    job::{
        Hint, Prepared, PrintError, PrintWarning, Settings, SheetState, Sheets, count, preview, printers, with_causes,
    },
    output::OpenPdf,
    register::{Area, Bin, Register, RunKind},
    sheet::{Paper, Sheet, SheetKind, Turn, slots_text},
};

/// Pages that are shown; the others look like them.
const MOST_PAGES: usize = 12;
/// Warnings that are shown.
const MOST_WARNINGS: usize = 8;

#[derive(Debug, Template)]
#[template(path = "labels.html")]
struct LabelsPage {
    shell: Shell,
    choices: Choices,
    kinds: Vec<KindLink>,
    which: Vec<WhichChoice>,
    sheets: Vec<SheetGroup>,
    usual: String,
    printers: Vec<String>,
    areas: Vec<Area>,
    bins: Vec<Bin>,
    /// Addresses of this computer on its network, for links.
    links: Vec<String>,
    preview: PreviewPart,
}

impl LabelsPage {
    fn is_tag(&self) -> bool {
        self.choices.what == RunKind::Tags && !self.choices.is_again()
    }

    fn is_sign(&self) -> bool {
        matches!(self.choices.what, RunKind::Signs | RunKind::Lids) && !self.choices.is_again()
    }

    fn shows(&self, field: &str) -> bool {
        self.choices.show.iter().any(|shown| shown == field)
    }

    /// Whether a choice under `More` is not as usual.
    fn has_more(&self) -> bool {
        let of = &self.choices;
        [&of.note, &of.inside, &of.read_from, &of.rotate, &of.link].iter().any(|text| !text.is_empty())
    }
}

/// A kind of labels, and the page with it chosen.
#[derive(Debug)]
struct KindLink {
    word: &'static str,
    words: &'static str,
    is_here: bool,
}

/// One of the ways to say which labels are meant.
#[derive(Debug)]
struct WhichChoice {
    which: Which,
    words: String,
    is_here: bool,
}

impl WhichChoice {
    fn name(&self) -> &'static str {
        self.which.name()
    }

    fn is(&self, name: &str) -> bool {
        self.which.name() == name
    }
}

#[derive(Debug)]
struct SheetGroup {
    paper: &'static str,
    sheets: Vec<SheetLine>,
}

#[derive(Debug)]
struct SheetLine {
    name: String,
    words: String,
}

/// What would be printed.
#[derive(Debug, Template)]
#[template(path = "labels_preview.html")]
struct PreviewPart {
    choices: String,
    has_changed: bool,
    looks_only: bool,
    outcome: Seen,
    slots: Option<SlotsPart>,
}

/// What there is to see.
#[derive(Debug)]
enum Seen {
    Pages(Box<PagesSeen>),
    /// There is nothing to print.
    Nothing {
        text: String,
        ways: Vec<(String, String)>,
    },
    /// It can't be printed.
    Refused {
        text: String,
        ways: Vec<(String, String)>,
    },
}

impl PreviewPart {
    fn pages(&self) -> Option<&PagesSeen> {
        if let Seen::Pages(pages) = &self.outcome { Some(pages) } else { None }
    }

    /// The page that the slots lie over.
    fn first(&self) -> Option<&PageSeen> {
        self.pages().filter(|pages| pages.is_upright).and_then(|pages| pages.shown.first())
    }

    /// The pages that are shown without slots.
    fn plain(&self) -> &[PageSeen] {
        let Some(pages) = self.pages() else { return &[] };
        let from = usize::from(self.slots.is_some() && pages.is_upright);
        pages.shown.get(from..).unwrap_or_default()
    }
}

#[derive(Debug)]
struct PagesSeen {
    hash: String,
    button: String,
    summary: String,
    sheet: String,
    /// What to put into the printer.
    sheet_note: Option<String>,
    notes: Vec<String>,
    warnings: Vec<String>,
    /// Whether letters are in no font.
    lacks_letters: bool,
    shown: Vec<PageSeen>,
    more: usize,
    is_upright: bool,
}

#[derive(Debug)]
struct PageSeen {
    number: usize,
    source: String,
    width: u32,
    height: u32,
}

/// The page, or the part of it that follows what is chosen.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    RawQuery(query): RawQuery,
) -> Result<Response, Refusal> {
    let query = query.unwrap_or_default();
    let mut choices = Choices::of(&query)?;
    choices.has_changed = query.contains(CHANGED);
    let looks_only = visitor.device.looks_only;
    let (own, asked, wants_part) = (Arc::clone(&desk), choices.clone(), visitor.wants_part);
    let shell = visitor.shell(&desk, "Labels", Place::Labels);
    let made = move |register: &Register| {
        let preview = preview_of(&own, register, &asked, looks_only)?;
        Ok::<_, Refusal>(if wants_part {
            Err(preview)
        } else {
            Ok(labels_page(&own, register, asked, shell, preview)?)
        })
    };
    Ok(match desk.read(made).await? {
        Ok(page) => Page(page).into_response(),
        Err(part) => Page(part).into_response(),
    })
}

fn labels_page(
    desk: &Desk,
    register: &Register,
    choices: Choices,
    shell: Shell,
    preview: PreviewPart,
) -> Result<LabelsPage, Refusal> {
    let settings = Settings::of(register)?;
    let kind = |(kind, words): (RunKind, &'static str)| KindLink {
        word: kind.word(),
        words,
        is_here: kind == choices.what && !choices.is_again(),
    };
    Ok(LabelsPage {
        kinds: KINDS.into_iter().map(kind).collect(),
        which: which_choices(&choices),
        sheets: sheet_groups(&Sheets::of(register)?),
        usual: sheet_size(&settings.sheet_for(choices.what, None)?),
        printers: printers(register)?.into_iter().map(|printer| printer.name).collect(),
        areas: register.areas()?,
        bins: register.bins(None)?,
        links: own_addresses().iter().map(|ip| format!("http://{ip}:{}", desk.port)).collect(),
        choices,
        shell,
        preview,
    })
}

const KINDS: [(RunKind, &str); 6] = [
    (RunKind::Tags, "Tags"),
    (RunKind::Signs, "Bin signs"),
    (RunKind::Lids, "Lid signs"),
    (RunKind::Strips, "Shelf strips"),
    (RunKind::Areas, "Area signs"),
    (RunKind::Contents, "Contents lists"),
];

/// `tags`, `contents lists`
pub(super) fn nouns(kind: RunKind) -> String {
    match kind {
        RunKind::Lids => "lid signs".into(),
        kind => format!("{}s", kind.noun()),
    }
}

fn which_choices(choices: &Choices) -> Vec<WhichChoice> {
    let (what, nouns) = (choices.what, nouns(choices.what));
    let choice = |which, words: &str| WhichChoice { which, words: words.into(), is_here: choices.which == which };
    let things = if what == RunKind::Tags { "items" } else { "bins" };
    let mut all = Vec::new();
    if !has_no_waiting(what) {
        all.push(choice(Which::Waiting, &format!("{things} without one yet")));
    }
    all.push(choice(Which::Stale, "those that are wrong now"));
    if what == RunKind::Tags {
        all.push(choice(Which::Bin, "all in the bin"));
    }
    if what != RunKind::Areas {
        all.push(choice(Which::Area, "all in the area"));
    }
    if what != RunKind::Strips {
        all.push(choice(Which::Codes, if what == RunKind::Areas { "those of areas" } else { "those with the codes" }));
    }
    all.push(choice(Which::All, &format!("all {nouns}")));
    all
}

fn sheet_groups(sheets: &Sheets) -> Vec<SheetGroup> {
    let group = |paper: &'static str, is: &dyn Fn(&Sheet) -> bool| SheetGroup {
        paper,
        sheets: sheets.all().filter(|sheet| is(sheet)).map(sheet_line).collect(),
    };
    let built_in = |on: Paper| move |sheet: &Sheet| sheet.paper == on && sheet.kind == SheetKind::BuiltIn;
    let groups = [
        group("Your own", &|sheet| sheet.kind == SheetKind::Own),
        group("A4", &built_in(Paper::A4)),
        group("Letter", &built_in(Paper::Letter)),
        group("Rolls", &built_in(Paper::Roll)),
    ];
    groups.into_iter().filter(|group| !group.sheets.is_empty()).collect()
}

fn sheet_line(sheet: &Sheet) -> SheetLine {
    SheetLine { name: sheet.name.clone(), words: sheet_words(sheet) }
}

/// `65 of 38.1 x 21.2 mm (a4-5x13)`
pub(super) fn sheet_words(sheet: &Sheet) -> String {
    format!("{} ({})", sheet_size(sheet), sheet.name)
}

/// `65 of 38.1 x 21.2 mm`
fn sheet_size(sheet: &Sheet) -> String {
    match sheet.paper {
        Paper::Roll => sheet.label().to_string(),
        _ => format!("{} of {}", sheet.slots(), sheet.label()),
    }
}

fn preview_of(desk: &Desk, register: &Register, choices: &Choices, looks_only: bool) -> Result<PreviewPart, Refusal> {
    let planned = Plan::of(register, choices);
    let sheet = match &planned {
        Ok(plan) => Some(plan.options.sheet.clone()),
        Err(_) => sheet_of(register, choices).ok(),
    };
    let outcome = match planned {
        Ok(plan) => seen(desk, register, choices, plan)?,
        Err(refusal) => Seen::Refused { text: refusal.text, ways: Vec::new() },
    };
    let is_there = !matches!(outcome, Seen::Nothing { .. });
    let slots = sheet.filter(|_| is_there).map(|sheet| SlotsPart::of(register, &sheet, choices)).transpose()?.flatten();
    Ok(PreviewPart { choices: choices.query.clone(), has_changed: choices.has_changed, looks_only, outcome, slots })
}

fn seen(desk: &Desk, register: &Register, choices: &Choices, plan: Plan) -> Result<Seen, Refusal> {
    let Plan { kind, labels, options, notes } = plan;
    let sheet = options.sheet.clone();
    match preview(register, kind, labels, options) {
        Ok(Some(prepared)) => Ok(Seen::Pages(Box::new(pages_seen(desk, prepared, &sheet, notes)?))),
        Ok(None) => nothing(register, choices),
        Err(PrintError::Label { error, hint }) => {
            Ok(Seen::Refused { text: desk_words(&with_causes(&error)), ways: hint_ways(&hint, choices) })
        }
        Err(fault) => Ok(Seen::Refused { text: Refusal::from(fault).text, ways: Vec::new() }),
    }
}

fn pages_seen(desk: &Desk, prepared: Prepared<()>, sheet: &Sheet, notes: Vec<String>) -> Result<PagesSeen, Refusal> {
    let is_upright = prepared.options.turn == Turn::None;
    let labels = count(prepared.labels.len() as u64, prepared.kind.noun());
    let pdf = OpenPdf::new(&prepared.bytes)?;
    let pages = pdf.pages();
    let hash = desk.previews.keep(prepared.bytes);
    let shown =
        (1..=pages.min(MOST_PAGES)).map(|number| page_seen(&pdf, &hash, number)).collect::<Result<_, Refusal>>()?;
    let things = if sheet.paper == Paper::Roll { "label" } else { "page" };
    let summary = format!("{labels} on {}", count(pages as u64, things));
    Ok(PagesSeen {
        hash,
        button: format!("Print {labels}"),
        summary,
        sheet: sheet_words(sheet),
        sheet_note: prepared.sheet_state.as_ref().and_then(sheet_note),
        notes,
        warnings: warnings(&prepared.warnings, prepared.sheet_state.as_ref()),
        lacks_letters: prepared.warnings.iter().any(PrintWarning::is_of_letters),
        shown,
        more: pages.saturating_sub(MOST_PAGES),
        is_upright,
    })
}

fn page_seen(pdf: &OpenPdf, hash: &str, number: usize) -> Result<PageSeen, Refusal> {
    let size = pdf.size(number)?;
    let dpi = screen_dpi(size)?;
    let (width, height) = (dpi.dots_covering(size.width).0, dpi.dots_covering(size.height).0);
    Ok(PageSeen { number, source: format!("/labels/page/{hash}/{number}.png"), width, height })
}

/// What to put into the printer.
fn sheet_note(state: &SheetState) -> Option<String> {
    if state.slots.is_empty() {
        return None;
    }
    let (noun, come) = if state.slots.len() == 1 { ("slot", "comes") } else { ("slots", "come") };
    let then = match state.fresh_sheets {
        0 => String::new(),
        1 => ", then a fresh sheet".into(),
        sheets => format!(", then {sheets} fresh sheets"),
    };
    Some(format!(
        "Put the part-used sheet into the printer: its {noun} {} {come} next{then}.",
        slots_text(&state.slots)
    ))
}

fn warnings(all: &[PrintWarning], state: Option<&SheetState>) -> Vec<String> {
    let caution = state.and_then(|state| state.caution).map(desk_words);
    let told = all.iter().take(MOST_WARNINGS).map(|warning| desk_words(&warning.to_string()));
    let more = all.len().saturating_sub(MOST_WARNINGS);
    let more = (more > 0).then(|| {
        format!("There {} more of this kind.", if more == 1 { "is one".into() } else { format!("are {more}") })
    });
    caution.into_iter().chain(told).chain(more).collect()
}

fn hint_ways(hint: &Hint, choices: &Choices) -> Vec<(String, String)> {
    let sheet = hint.sheet.iter().map(|sheet| {
        (format!("Take the smallest that would do: {}", sheet_words(sheet)), with(choices, &[("sheet", &sheet.name)]))
    });
    let qr = hint.or_qr.then(|| ("Take a QR code".to_owned(), with(choices, &[("symbol", "qr")])));
    sheet.chain(qr).collect()
}

/// The page with one choice made otherwise.
fn with(choices: &Choices, changed: &[(&str, &str)]) -> String {
    let is_kept = |pair: &&str| {
        let name = pair.split('=').next().unwrap_or_default();
        !pair.is_empty() && !["on", "used", "fresh"].contains(&name) && changed.iter().all(|(other, _)| name != *other)
    };
    let kept = choices.query.split('&').filter(is_kept).map(str::to_owned);
    let new = changed.iter().map(|(name, value)| format!("{name}={value}"));
    format!("/labels?{}", kept.chain(new).collect::<Vec<_>>().join("&"))
}

/// Why there is nothing, and what to do.
fn nothing(register: &Register, choices: &Choices) -> Result<Seen, Refusal> {
    let (what, nouns) = (choices.what, nouns(choices.what));
    let way = |words: String, to: String| (words, to);
    let all = || way(format!("Print all {nouns}"), format!("/labels?what={}&which=all", what.word()));
    let enter = || way("Enter items".into(), "/items/new".into());
    let add = || way("Add bins".into(), "/bins".into());
    let has_bins = !register.bins(None)?.is_empty();
    let (text, ways) = match (what, choices.which) {
        _ if !has_bins && what != RunKind::Areas => {
            ("There are no bins yet. Add some, and come back to print their signs.".into(), vec![add()])
        }
        (_, Which::Stale) => (format!("None of the {nouns} that were printed is wrong."), vec![]),
        (RunKind::Tags, Which::Waiting) => ("No item waits for a tag.".into(), vec![enter(), all()]),
        (RunKind::Tags, Which::Bin | Which::Area) => ("There are no items there.".into(), vec![enter()]),
        (RunKind::Tags, _) => ("There are no items yet.".into(), vec![enter()]),
        (RunKind::Strips, _) => (
            "No bin there has a spot, so there is nothing to put on a strip.".into(),
            vec![way("Give bins their spots".into(), "/bins".into())],
        ),
        (RunKind::Areas, _) => ("There are no areas yet.".into(), vec![way("Add an area".into(), "/bins".into())]),
        (_, Which::Waiting) => (format!("Every bin has its {}.", what.noun()), vec![all()]),
        _ => ("There are no bins there.".into(), vec![add()]),
    };
    Ok(Seen::Nothing { text, ways })
}
