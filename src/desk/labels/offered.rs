//! What the Labels page offers to choose from: kinds of labels, which of them, and sheets.

use super::choices::{Choices, Which, has_no_waiting};
use crate::{
    job::Sheets,
    register::RunKind,
    sheet::{Paper, Sheet, SheetKind},
};

const KINDS: [(RunKind, &str); 6] = [
    (RunKind::Tags, "Tags"),
    (RunKind::Signs, "Bin signs"),
    (RunKind::Lids, "Lid signs"),
    (RunKind::Strips, "Shelf strips"),
    (RunKind::Areas, "Area signs"),
    (RunKind::Contents, "Contents lists"),
];

/// A kind of labels, and the page with it chosen.
#[derive(Debug)]
pub(super) struct KindLink {
    pub word: &'static str,
    pub words: &'static str,
    pub is_here: bool,
}

/// One of the ways to say which labels are meant.
#[derive(Debug)]
pub(super) struct WhichChoice {
    which: Which,
    pub words: String,
    pub is_here: bool,
}

impl WhichChoice {
    pub(super) fn name(&self) -> &'static str {
        self.which.name()
    }

    pub(super) fn is(&self, name: &str) -> bool {
        self.which.name() == name
    }
}

#[derive(Debug)]
pub(super) struct SheetGroup {
    pub paper: &'static str,
    pub sheets: Vec<SheetLine>,
}

#[derive(Debug)]
pub(super) struct SheetLine {
    pub name: String,
    pub words: String,
}

/// All kinds.
pub(super) fn kind_links(choices: &Choices) -> Vec<KindLink> {
    let kind = |(kind, words): (RunKind, &'static str)| KindLink {
        word: kind.word(),
        words,
        is_here: kind == choices.what && !choices.is_again(),
    };
    KINDS.into_iter().map(kind).collect()
}

/// `tags`, `contents lists`
pub(super) fn nouns(kind: RunKind) -> String {
    match kind {
        RunKind::Lids => "lid signs".into(),
        kind => format!("{}s", kind.noun()),
    }
}

/// The ways to say which labels of the kind are meant.
pub(super) fn which_choices(choices: &Choices) -> Vec<WhichChoice> {
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

/// All sheets, by their paper.
pub(super) fn sheet_groups(sheets: &Sheets) -> Vec<SheetGroup> {
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
pub(super) fn sheet_size(sheet: &Sheet) -> String {
    match sheet.paper {
        Paper::Roll => sheet.label().to_string(),
        _ => format!("{} of {}", sheet.slots(), sheet.label()),
    }
}
