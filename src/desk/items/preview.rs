//! What would come in from a file, before it does: each bad line, the rows, and where things would go.

use askama::Template;

use super::{
    super::{
        sent::Sent,
        table_file::BadLines,
        words::{desk_words, grouped},
    },
    import::address,
    wish::{ImportFault, options_of},
};
use crate::{
    exchange::{Field, KnownBy},
    job::{Draft, PlacedBin, Placing, Settings, assumed_text, bulk_text, changed_words, count, fill_figures},
    register::{ItemChange, NewItem, Register, RegisterError},
    unit::Currency,
};

/// Rows that are shown of those that would come in.
const SHOWN: usize = 8;
/// Bad lines that are shown; all are in the file of those left out.
const BAD: usize = 200;
/// Items that are named of those that fit nowhere.
const NAMED: usize = 6;

/// A heading, and whether its column holds numbers.
type Head = (&'static str, bool);
type Cell = (String, bool);

#[derive(Debug, Template)]
#[template(path = "import_part.html")]
pub(super) struct PreviewPart {
    id: String,
    sent: Sent,
    fault: Option<String>,
    was_imported: bool,
    notes: Vec<String>,
    bad: BadLines,
    is_mendable: bool,
    heads: Vec<Head>,
    rows: Vec<Vec<Cell>>,
    more_rows: usize,
    changes: Vec<(String, String, String)>,
    more_changes: usize,
    unchanged: usize,
    bins: Vec<PlacedRow>,
    placed: Vec<String>,
    enters: Option<String>,
    sum: String,
}

#[derive(Debug)]
struct PlacedRow {
    bin: String,
    came: usize,
    percent: Option<u64>,
    figures: String,
}

impl PreviewPart {
    pub(super) fn new(
        register: &Register,
        id: &str,
        sent: &Sent,
        drafted: Result<Draft, ImportFault>,
    ) -> Result<Self, RegisterError> {
        let mut part = Self::bare(id, sent);
        match drafted {
            Ok(draft) => part.fill(&draft, &Settings::of(register)?.currency),
            Err(fault) => {
                part.was_imported = fault.was_imported;
                part.fault = Some(fault.text);
                part.bad = BadLines::of(&fault.refused, BAD);
            }
        }
        Ok(part)
    }

    fn bare(id: &str, sent: &Sent) -> Self {
        Self {
            id: id.to_owned(),
            sent: sent.clone(),
            fault: None,
            was_imported: false,
            notes: Vec::new(),
            bad: BadLines::default(),
            is_mendable: false,
            heads: Vec::new(),
            rows: Vec::new(),
            more_rows: 0,
            changes: Vec::new(),
            more_changes: 0,
            unchanged: 0,
            bins: Vec::new(),
            placed: Vec::new(),
            enters: None,
            sum: String::new(),
        }
    }

    fn fill(&mut self, draft: &Draft, currency: &Currency) {
        self.notes = notes(draft);
        self.bad = BadLines::of(&draft.refused, BAD);
        self.is_mendable = !draft.refused.is_empty();
        (self.heads, self.rows) = new_rows(&draft.new, currency);
        self.more_rows = draft.new.len() - self.rows.len();
        let change =
            |change: &ItemChange| (change.item.name(), change.item.title.clone(), changed_words(change).join(", "));
        self.changes = draft.changes.iter().take(SHOWN).map(change).collect();
        self.more_changes = draft.changes.len() - self.changes.len();
        self.unchanged = draft.unchanged;
        if let Some(placing) = &draft.placing {
            self.place(placing);
        }
        self.enters = enters(draft);
        self.sum = sum(draft);
    }

    fn place(&mut self, placing: &Placing) {
        let row = |placed: &PlacedBin| PlacedRow {
            bin: placed.bin.code.to_string(),
            came: placed.came,
            percent: placed.fill.percent(&placed.bin.room),
            figures: fill_figures(&placed.bin.room, &placed.fill),
        };
        self.bins = placing.bins.iter().map(row).collect();
        let assumed = assumed_text(placing.items, placing.sizes_assumed, placing.weights_assumed);
        self.placed.extend(assumed.map(|text| desk_words(&text)));
        let waiting = &placing.waiting;
        if !waiting.is_empty() {
            let wait =
                if waiting.len() == 1 { "1 item fits into no bin and waits" } else { "fit into no bin and wait" };
            let many = if waiting.len() == 1 { String::new() } else { format!("{} items ", waiting.len()) };
            let named: Vec<String> =
                waiting.iter().take(NAMED).map(|item| format!("{} ({})", item.title, item.lack.words())).collect();
            let more = waiting.len() - named.len();
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            self.placed.push(format!("{many}{wait}: {}{more}.", named.join(", ")));
        }
    }

    /// The address of a page of this file, with what is asked for.
    fn address_of(&self, end: &str) -> String {
        options_of(&self.sent).address(&format!("{}{end}", address(&self.id)))
    }

    fn many(number: usize) -> String {
        grouped(number)
    }

    /// The same although the file came in before.
    fn address_again(&self) -> String {
        options_of(&self.sent).with("again", Some("yes")).address(&address(&self.id))
    }
}

fn notes(draft: &Draft) -> Vec<String> {
    let mapping = &draft.mapping;
    let said = |field: &Field| mapping.known_by(field.name) == Some(KnownBy::User);
    let is_new = mapping.fields().any(|(field, _)| said(field));
    let remembered = is_new.then(|| "What you say of the columns is remembered for files with these headings.".into());
    let unread = mapping.unknown();
    let unread = (!unread.is_empty()).then(|| format!("Not read: {}.", unread.join(", ")));
    let partial = mapping.partial().iter().map(|partial| format!("Not read: {partial}."));
    let others = draft.notes.iter().map(|note| desk_words(&note.to_string()));
    unread.into_iter().chain(partial).chain(others).chain(remembered).collect()
}

/// Only columns that one of the items fills.
fn new_rows(items: &[NewItem], currency: &Currency) -> (Vec<Head>, Vec<Vec<Cell>>) {
    let amount = |money| Option::map(money, |money| currency.format(money)).unwrap_or_default();
    let row = |item: &NewItem| {
        vec![
            item.title.as_str().to_owned(),
            item.bin.map_or_else(|| "waits".into(), |bin| bin.to_string()),
            amount(item.cost),
            amount(item.asking),
            item.bought.map(|date| date.to_string()).unwrap_or_default(),
            item.old.join("; "),
            item.note.as_ref().map(|note| note.as_str().to_owned()).unwrap_or_default(),
            bulk_text(&item.bulk),
        ]
    };
    let all: Vec<Vec<String>> = items.iter().take(SHOWN).map(row).collect();
    let heads = ["Title", "Bin", "Cost", "Asking", "Bought", "Labels from before", "Note", "Size"];
    let used: Vec<usize> = (0..heads.len()).filter(|at| all.iter().any(|row| !row[*at].is_empty())).collect();
    let is_number = |at: usize| matches!(heads[at], "Cost" | "Asking");
    let rows = all.iter().map(|row| used.iter().map(|at| (row[*at].clone(), is_number(*at))).collect()).collect();
    (used.iter().map(|at| (heads[*at], is_number(*at))).collect(), rows)
}

/// What the button says; nothing where there is nothing to be done.
fn enters(draft: &Draft) -> Option<String> {
    let (new, changed) = (draft.new.len(), draft.changes.len());
    let good = !draft.refused.is_empty();
    let noun = if new == 1 { "item" } else { "items" };
    match (new, changed) {
        (0, 0) => None,
        (0, changed) => Some(format!("Change {}", count(changed as u64, "item"))),
        (1, 0) if good => Some("Enter the good one".into()),
        (new, 0) if good => Some(format!("Enter the {} good ones", grouped(new))),
        (new, 0) => Some(format!("Enter {} {noun}", grouped(new))),
        (new, changed) => Some(format!("Enter {} {noun} and change {}", grouped(new), grouped(changed))),
    }
}

/// `25 items new, 3 changed, 12 as they are, 2 bad lines left out.`
fn sum(draft: &Draft) -> String {
    let known = draft.changes.len() + draft.unchanged > 0;
    let parts = [
        Some(format!("{} new", count(draft.new.len() as u64, "item"))),
        known.then(|| format!("{} changed, {} as they are", draft.changes.len(), draft.unchanged)),
        (!draft.refused.is_empty()).then(|| format!("{} left out", count(draft.refused.len() as u64, "bad row"))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ") + "."
}
