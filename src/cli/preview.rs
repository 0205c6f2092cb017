//! What would come in from a file, before it does.

use super::{
    room::placing_text,
    table::{bulk_text, count, table},
};
use crate::{
    exchange::{DateOrder, KnownBy, Mapping},
    job::{Draft, changed_words},
    register::{ItemChange, NewItem},
    unit::{Currency, Money},
};

/// Rows that are shown.
const SHOWN: usize = 5;
/// Longer texts would push the rest off the screen.
const LONGEST: usize = 40;

/// The columns, the first rows as they would come in, and how many there are of each kind.
pub(super) fn preview(draft: &Draft, currency: &Currency) -> String {
    let mut parts = vec![
        format!("{}: {}", draft.path().display(), count(draft.rows as u64, "row")),
        columns(&draft.mapping, draft.dates, "bought"),
    ];
    parts.extend(draft.notes.iter().map(ToString::to_string));
    if !draft.new.is_empty() {
        parts.push(new_items(&draft.new, currency));
    }
    parts.extend(draft.placing.as_ref().map(placing_text));
    if !draft.changes.is_empty() {
        parts.push(changes(&draft.changes));
    }
    parts.push(sum(draft));
    parts.join("\n\n")
}

/// What each column is taken for; `dates` is the order of those of the field `of`.
pub(super) fn columns(mapping: &Mapping, dates: Option<DateOrder>, of: &str) -> String {
    let row =
        |name: &str, heading: &str, remark: String| vec![name.to_owned(), format!("`{}`", short(heading)), remark];
    let known = mapping.fields().map(|(field, heading)| {
        let by = match mapping.known_by(field.name) {
            Some(KnownBy::User) => "as you say",
            Some(KnownBy::Memory) => "as you said earlier",
            _ => "",
        };
        let order = dates.filter(|_| field.name == of).map(DateOrder::words).unwrap_or_default();
        let remark: Vec<&str> = [by, order].into_iter().filter(|text| !text.is_empty()).collect();
        row(field.name, heading, remark.join(", "))
    });
    let unread = mapping.unread();
    let remark = |heading: &String| {
        let partial = mapping.partial().iter().find(|partial| partial.headings.contains(heading));
        partial.map(|partial| format!("goes with {} only", partial.missing.join(" and "))).unwrap_or_default()
    };
    let unread = unread.iter().map(|heading| row("not read", heading, remark(heading)));
    table(&["field", "column", ""], known.chain(unread))
}

/// Only fields that one of the items has are shown.
fn new_items(items: &[NewItem], currency: &Currency) -> String {
    let amount = |money: Option<Money>| money.map(|money| currency.format(money)).unwrap_or_default();
    let all: Vec<Vec<String>> = items
        .iter()
        .take(SHOWN)
        .map(|item| {
            vec![
                short(item.title.as_str()),
                item.bin.map_or_else(|| "waits".into(), |bin| bin.to_string()),
                amount(item.cost),
                amount(item.asking),
                item.bought.map(|date| date.to_string()).unwrap_or_default(),
                short(&item.old.join("; ")),
                item.note.as_ref().map(|note| short(note.as_str())).unwrap_or_default(),
                bulk_text(&item.bulk),
            ]
        })
        .collect();
    let headings = ["title", "bin", "cost#", "asking#", "bought", "old code", "note", "size"];
    let used: Vec<usize> = (0..headings.len()).filter(|at| all.iter().any(|row| !row[*at].is_empty())).collect();
    let rows = all.iter().map(|row| used.iter().map(|at| row[*at].clone()).collect());
    let named: Vec<&str> = used.iter().map(|at| headings[*at]).collect();
    format!("New{}\n{}", first_of(items.len()), table(&named, rows))
}

fn changes(changes: &[ItemChange]) -> String {
    let rows = changes
        .iter()
        .take(SHOWN)
        .map(|change| vec![change.item.name(), short(&change.item.title), changed_words(change).join(", ")]);
    format!("Changed{}\n{}", first_of(changes.len()), table(&["code", "title", "what changes"], rows))
}

fn first_of(count: usize) -> String {
    if count > SHOWN { format!(", the first {SHOWN} of {count}:") } else { ":".into() }
}

fn sum(draft: &Draft) -> String {
    let new = format!("{} new", count(draft.new.len() as u64, "item"));
    let parts = [
        Some(new),
        (draft.changes.len() + draft.unchanged > 0)
            .then(|| format!("{} changed, {} as they are", draft.changes.len(), draft.unchanged)),
        (!draft.refused.is_empty()).then(|| format!("{} left out", count(draft.refused.len() as u64, "bad row"))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ") + "."
}

fn short(text: &str) -> String {
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    text.chars().take(LONGEST - 1).chain(['…']).collect()
}
