//! What can be done where there is nothing to print, or it can't be.

use super::{
    choices::{Choices, Which},
    offered::{nouns, sheet_words},
};
use crate::{
    job::Hint,
    register::{Register, RegisterError, RunKind},
};

/// What can be done, and the address that leads there.
pub(super) type Way = (String, String);

/// What would do instead of what can't be printed.
pub(super) fn hint_ways(hint: &Hint, choices: &Choices) -> Vec<Way> {
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
pub(super) fn nothing(register: &Register, choices: &Choices) -> Result<(String, Vec<Way>), RegisterError> {
    let (what, nouns) = (choices.what, nouns(choices.what));
    let way = |words: String, to: String| (words, to);
    let all = || way(format!("Print all {nouns}"), format!("/labels?what={}&which=all", what.word()));
    let enter = || way("Enter items".into(), "/items/new".into());
    let add = || way("Add bins".into(), "/bins".into());
    let has_bins = !register.bins(None)?.is_empty();
    Ok(match (what, choices.which) {
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
    })
}
