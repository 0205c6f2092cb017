//! The parts of refusals that depend on how many things there are, or on what has become of one.
//!
//! Start with [`left_text`]. What a message is about is said in it itself; these go on from there.

use crate::{
    code::BinCode,
    register::{Later, Status},
    unit::listed,
};

/// The spots of an area.
pub(super) fn known_text(known: &[String]) -> String {
    match known {
        [] => "it has none yet, `stowmark bin add` makes them with --spot".into(),
        known => there_are(known),
    }
}

/// The kinds of bins.
pub(super) fn known_kinds_text(known: &[String]) -> String {
    match known {
        [] => "there is none yet, `stowmark bin kind add NAME --litres 36` makes one".into(),
        known => there_are(known),
    }
}

fn there_are(known: &[String]) -> String {
    let quoted: Vec<String> = known.iter().map(|name| format!("`{name}`")).collect();
    format!("there are {}", quoted.join(", "))
}

/// `4A-001F, 4A-002C, 4A-003A and 2 more are in it`
pub(super) fn within_text(items: u32, first: &[String]) -> String {
    let named = first.join(", ");
    match usize::try_from(items).unwrap_or_default().saturating_sub(first.len()) {
        0 if items == 1 => format!("{named} is in it"),
        0 => format!("{} are in it", listed(first)),
        more => format!("{named} and {more} more are in it"),
    }
}

/// `4A and 2 other bins are of it; …`
pub(super) fn of_kind_text(first: BinCode, bins: u32) -> String {
    let try_next = "`stowmark bin edit CODE --kind none` takes a bin out of it";
    match bins {
        1 => format!("{first} is of it; {try_next}"),
        2 => format!("{first} and another bin are of it; {try_next}"),
        _ => format!("{first} and {} other bins are of it; {try_next}", bins - 1),
    }
}

/// `an item has`, `2 items have`
pub(super) fn have_text(items: u32) -> String {
    if items == 1 { "an item has".into() } else { format!("{items} items have") }
}

/// What has become of an item, and how it comes back.
pub(super) fn left_text(status: Status, item: &str) -> String {
    match status {
        Status::Picked => format!(
            "sold and picked; `stowmark return {item} --in BIN` takes it back in, `stowmark refund {item} AMOUNT` gives money back"
        ),
        Status::Undone => "not there: its entry was taken back".into(),
        Status::Waiting => format!("waiting for a bin; `stowmark put '{item}' --in BIN` gives it one and a code"),
        other => other.word().into(),
    }
}

/// Why an item can't be sold.
pub(super) fn unsellable_text(status: Status, item: &str) -> String {
    match status {
        Status::Gone => format!("gone; `stowmark put {item} --in BIN` says that it is there again"),
        other => left_text(other, item),
    }
}

/// What an item is that is not sold.
pub(super) fn unsold_text(status: Status, item: &str) -> String {
    match status {
        Status::Held | Status::Listed => format!("it is {}; `stowmark sold {item}` says so", status.word()),
        other => format!("it is {}", left_text(other, item)),
    }
}

/// `, 2 in hand, 1 missing`
pub(super) fn under_way_text(taken: usize, missing: usize) -> String {
    let parts = [(taken, "in hand"), (missing, "missing")];
    parts.iter().filter(|(count, _)| *count > 0).map(|(count, what)| format!(", {count} {what}")).collect()
}

/// A line for each of what stands on a change.
pub(super) fn later_text(later: &[Later]) -> String {
    let line = |later: &Later| match later {
        Later::Change(change) => format!("\n  change {}, {}: {}", change.id, minute(&change.at), change.what),
        Later::Run(run) => {
            format!("\n  run {run}, which printed its label: `stowmark run cancel {run}` if nothing came out")
        }
    };
    later.iter().map(line).collect()
}

/// `2026-11-21 10:04`, in UTC as the register has it.
fn minute(at: &str) -> String {
    at.get(..16).unwrap_or(at).replace('T', " ") + " UTC"
}
