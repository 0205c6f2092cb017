//! What would be printed, as it is seen beside what is chosen.
//!
//! Start with [`PreviewPart::of`]. The pages are those of the very PDF that is printed then.

use askama::Template;

use super::{
    super::{answer::Refusal, state::Desk, words::desk_words},
    choices::Choices,
    offered::sheet_words,
    plan::{Plan, sheet_of},
    previews::{Turn, screen_dpi},
    slots::SlotsPart,
    ways::{Way, hint_ways, nothing},
};
use crate::{
    job::{Prepared, PrintError, PrintWarning, SheetState, count, preview, with_causes},
    output::OpenPdf,
    register::Register,
    sheet::{self, Paper, Sheet, slots_text},
};

/// Pages that are shown; the others look like them.
const MOST_PAGES: usize = 12;
/// Warnings that are shown.
const MOST_WARNINGS: usize = 8;

/// What would be printed.
#[derive(Debug, Template)]
#[template(path = "labels_preview.html")]
pub(super) struct PreviewPart {
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
        ways: Vec<Way>,
    },
    /// It can't be printed.
    Refused {
        text: String,
        ways: Vec<Way>,
    },
}

impl PreviewPart {
    pub(super) fn of(
        desk: &Desk,
        register: &Register,
        choices: &Choices,
        looks_only: bool,
        turn: &Turn,
    ) -> Result<Self, Refusal> {
        if turn.is_over() {
            return Err(PrintError::Cancelled.into());
        }
        let planned = Plan::of(register, choices);
        let sheet = match &planned {
            Ok(plan) => Some(plan.options.sheet.clone()),
            Err(_) => sheet_of(register, choices).ok(),
        };
        let outcome = match planned {
            Ok(plan) => seen(desk, register, choices, plan, turn)?,
            Err(refusal) => Seen::Refused { text: refusal.text, ways: Vec::new() },
        };
        let is_there = !matches!(outcome, Seen::Nothing { .. });
        let slots =
            sheet.filter(|_| is_there).map(|sheet| SlotsPart::of(register, &sheet, choices)).transpose()?.flatten();
        Ok(Self { choices: choices.query.clone(), has_changed: choices.has_changed, looks_only, outcome, slots })
    }

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

fn seen(desk: &Desk, register: &Register, choices: &Choices, plan: Plan, turn: &Turn) -> Result<Seen, Refusal> {
    let Plan { kind, labels, options, notes } = plan;
    let sheet = options.sheet.clone();
    match preview(register, kind, labels, options, &|| turn.is_over()) {
        // What nobody looks at takes no place from what somebody does.
        _ if turn.is_over() => Err(PrintError::Cancelled.into()),
        Ok(Some(prepared)) => Ok(Seen::Pages(Box::new(pages_seen(desk, prepared, &sheet, notes)?))),
        Ok(None) => {
            let (text, ways) = nothing(register, choices)?;
            Ok(Seen::Nothing { text, ways })
        }
        Err(PrintError::Label { error, hint }) => {
            Ok(Seen::Refused { text: desk_words(&with_causes(&error)), ways: hint_ways(&hint, choices) })
        }
        Err(fault) => Ok(Seen::Refused { text: Refusal::from(fault).text, ways: Vec::new() }),
    }
}

fn pages_seen(desk: &Desk, prepared: Prepared<()>, sheet: &Sheet, notes: Vec<String>) -> Result<PagesSeen, Refusal> {
    let is_upright = prepared.options.turn == sheet::Turn::None;
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
