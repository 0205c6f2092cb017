//! What was printed of a bin and of what is in it, and whether it still holds.

use jiff::ZonedDateTime;

use crate::{
    desk::answer::Refusal,
    job::{StaleLabel, StaleScope, count, local_time, stale},
    register::{Bin, ItemFilter, PrintedOf, Register, RunKind},
};

/// A label of a bin: whether it was printed, whether it holds, and how to print it.
#[derive(Debug)]
pub(super) struct LabelRow {
    pub name: &'static str,
    /// `run 0003, 2026-11-24 10:04`, `3 of 12 are not printed yet`
    pub printed: String,
    /// Why it is wrong.
    pub wrong: Option<String>,
    /// Whether there is nothing of it yet.
    pub is_missing: bool,
    pub link: String,
    pub print: &'static str,
}

/// The labels that a bin can have.
pub(super) fn labels(register: &Register, bin: &Bin) -> Result<Vec<LabelRow>, Refusal> {
    let wrong = stale(register, StaleScope::Bin(bin.code), ZonedDateTime::now().date())?.labels;
    let prints = register.prints_of_bin(bin)?;
    let of_bin = [
        (RunKind::Signs, "Sign", "Print a sign"),
        (RunKind::Lids, "Lid label", "Print a lid label"),
        (RunKind::Contents, "List of contents", "Print a list"),
    ];
    let mut rows: Vec<LabelRow> =
        of_bin.into_iter().map(|(kind, name, print)| of_kind(bin, kind, [name, print], &prints, &wrong)).collect();
    if bin.items > 0 {
        rows.push(tags(register, bin, &wrong)?);
    }
    Ok(rows)
}

fn of_kind(
    bin: &Bin,
    kind: RunKind,
    [name, print]: [&'static str; 2],
    prints: &[PrintedOf],
    wrong: &[StaleLabel],
) -> LabelRow {
    let last = prints.iter().rev().find(|printed| printed.kind == kind.word() && !printed.is_cancelled);
    let reasons = wrong
        .iter()
        .find(|label| label.kind == kind)
        .map(|label| label.reasons.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "));
    LabelRow {
        name,
        printed: last
            .map_or("not printed yet".to_owned(), |last| format!("run {}, {}", last.run, local_time(&last.at))),
        wrong: reasons,
        is_missing: last.is_none(),
        link: format!("/labels?what={}&codes={}", kind.word(), bin.code),
        print,
    }
}

fn tags(register: &Register, bin: &Bin, wrong: &[StaleLabel]) -> Result<LabelRow, Refusal> {
    let untagged = register.items(&ItemFilter { bin: Some(bin.code), ..ItemFilter::untagged() })?.len();
    let wrong = wrong.iter().filter(|label| label.kind == RunKind::Tags).count();
    let all = bin.items as usize;
    let printed = match untagged {
        0 => "all are printed".to_owned(),
        none if none == all => "none is printed yet".to_owned(),
        some => format!("{some} of {all} not printed yet"),
    };
    let is_wrong = |wrong: usize| format!("{} wrong now", count(wrong as u64, "tag"));
    Ok(LabelRow {
        name: "Tags of what is in it",
        printed,
        wrong: (wrong > 0).then(|| is_wrong(wrong)),
        is_missing: untagged > 0,
        link: format!("/labels?what=tags&bin={}", bin.code),
        print: "Print tags",
    })
}
