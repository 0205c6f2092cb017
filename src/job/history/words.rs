//! Rows of the journal in words for people.
//!
//! Rows of the first versions have codes where later ones have keys, and no table; they are told the same way.

use std::collections::HashMap;

use serde_json::{Map, Value};

use super::room_words::room_changes;
use crate::{
    register::{Found, JournalRow, Register, RegisterError, RegroupId},
    unit::{Currency, Money},
};

/// What keys in the journal stand for.
pub(super) struct Names<'r> {
    pub register: &'r Register,
    pub currency: &'r Currency,
    pub bins: HashMap<i64, String>,
    pub of: &'r Found,
    /// What was asked at this point of an item's history.
    pub asking: Option<Value>,
}

pub(super) type Columns = Map<String, Value>;

/// A column before and after.
struct Field<'a> {
    name: &'a str,
    before: Option<&'a Value>,
    after: Option<&'a Value>,
}

impl Names<'_> {
    /// A bin by its key, or as the first versions wrote it.
    fn bin(&mut self, value: &Value) -> Result<String, RegisterError> {
        let Some(key) = value.as_i64() else { return Ok(plain(value)) };
        if let Some(known) = self.bins.get(&key) {
            return Ok(known.clone());
        }
        let code = self.register.bin_code_by_key(key)?;
        let code = code.map_or_else(|| format!("bin {key}"), |code| code.to_string());
        self.bins.insert(key, code.clone());
        Ok(code)
    }

    fn spot(&self, value: &Value) -> Result<String, RegisterError> {
        let Some(key) = value.as_i64() else { return Ok(plain(value)) };
        Ok(self.register.spot_name_by_key(key)?.unwrap_or_else(|| format!("spot {key}")))
    }

    fn amount(&self, value: &Value) -> String {
        let money = value.as_i64().and_then(Money::from_minor);
        money.map_or_else(|| plain(value), |money| self.currency.format(money))
    }
}

/// A value as it stands.
fn plain(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

/// A column that has something in it.
fn filled<'a>(columns: Option<&'a Columns>, name: &str) -> Option<&'a Value> {
    columns?.get(name).filter(|value| !value.is_null())
}

/// What a row says; nothing where another row of the same change says it.
pub(super) fn phrases(row: &JournalRow, names: &mut Names<'_>) -> Result<Vec<String>, RegisterError> {
    let said = match row.subject.as_deref() {
        Some("item") => item(row, names)?,
        Some("bin") => bin(row, names)?,
        Some("name") => old_name(row),
        Some("sale") => sale(row, names),
        Some("refund") => refund(row, names),
        Some("tally") => tally(row),
        Some("regroup_move") => planned_move(row, names)?,
        Some(_) => vec![row.action.clone()],
        None => of_first_versions(row, names)?,
    };
    let taken_back = row.action == "taken back" && !said.is_empty();
    Ok(if taken_back { vec![format!("taken back: {}", said.join(", "))] } else { said })
}

fn item(row: &JournalRow, names: &mut Names<'_>) -> Result<Vec<String>, RegisterError> {
    if let Some(asking) = row.after.as_ref().and_then(|after| after.get("asking")) {
        names.asking = Some(asking.clone());
    }
    match (&row.before, &row.after) {
        (None, Some(after)) => entered(after, names),
        (Some(before), Some(after)) => item_changes(before, after, names),
        _ => Ok(vec![row.action.clone()]),
    }
}

fn entered(after: &Columns, names: &mut Names<'_>) -> Result<Vec<String>, RegisterError> {
    let mut said = match filled(Some(after), "bin") {
        Some(bin) if matches!(names.of, Found::Bin(_)) => vec![format!("entered in {}", names.bin(bin)?)],
        Some(bin) => vec![format!("entered in {}", names.bin(bin)?)],
        None => vec!["entered, waits for a bin".into()],
    };
    if matches!(names.of, Found::Item(_)) {
        said.extend(filled(Some(after), "title").map(|title| format!("`{}`", plain(title))));
        said.extend(filled(Some(after), "cost").map(|cost| format!("cost {}", names.amount(cost))));
        said.extend(filled(Some(after), "asking").map(|asking| format!("asking {}", names.amount(asking))));
        said.extend(filled(Some(after), "bought").map(|day| format!("bought {}", plain(day))));
        said.extend(room_changes(&Columns::new(), after));
    }
    Ok(said)
}

fn item_changes(before: &Columns, after: &Columns, names: &mut Names<'_>) -> Result<Vec<String>, RegisterError> {
    let mut said = Vec::new();
    if let Some(state) = filled(Some(after), "state").and_then(Value::as_str) {
        said.extend(state_text(state, before, after, names));
    }
    if after.contains_key("bin") {
        said.extend(move_text(before, after, names)?);
    }
    if let (Some(code), None) = (filled(Some(after), "payload"), filled(Some(before), "payload")) {
        said.push(format!("got the code {}", crate::job::reference::code_text(&plain(code))));
    }
    if let (Some(code), Some(was)) = (filled(Some(after), "payload"), filled(Some(before), "payload")) {
        let [was, code] = [was, code].map(|code| crate::job::reference::code_text(&plain(code)));
        said.push(format!("code {was} → {code}"));
    }
    said.extend(listing_text(before, after));
    let is_bin = matches!(names.of, Found::Bin(_));
    for name in ["title", "cost", "asking", "bought", "note", "listed"] {
        let field = Field { name, before: filled(Some(before), name), after: filled(Some(after), name) };
        let told_by_state = name == "listed" && after.contains_key("state");
        let told_by_listing = name == "asking" && after.get("state").is_some_and(|state| state == "listed");
        if after.contains_key(name) && !told_by_state && !told_by_listing && !is_bin {
            said.push(field_text(&field, names));
        }
    }
    if !is_bin {
        said.extend(room_changes(before, after));
    }
    Ok(said)
}

/// Whether its listing shows its code.
fn listing_text(before: &Columns, after: &Columns) -> Option<String> {
    match (filled(Some(before), "listing_code"), filled(Some(after), "listing_code")) {
        (_, Some(code)) => Some(format!("its listing shows {}", crate::job::reference::code_text(&plain(code)))),
        (Some(_), None) if after.contains_key("listing_code") => Some("its listing shows its code".into()),
        _ => None,
    }
}

fn state_text(state: &str, before: &Columns, after: &Columns, names: &Names<'_>) -> Option<String> {
    match state {
        "listed" => {
            let price = names
                .asking
                .as_ref()
                .filter(|asking| !asking.is_null())
                .map(|asking| format!(" at {}", names.amount(asking)));
            let day = filled(Some(after), "listed").map(|day| format!(", since {}", plain(day)));
            Some(format!("listed{}{}", price.unwrap_or_default(), day.unwrap_or_default()))
        }
        // The sale says it.
        "sold" | "picked" => None,
        "gone" => {
            let why = filled(Some(after), "why_gone").map(|why| format!(": {}", plain(why)));
            Some(format!("gone{}", why.unwrap_or_default()))
        }
        "undone" => Some("entry taken back".into()),
        _ => match filled(Some(before), "state").and_then(Value::as_str) {
            Some("undone") => Some("entry brought back".into()),
            Some("gone") => Some("there again".into()),
            Some("listed") => Some("not listed any more".into()),
            _ => None,
        },
    }
}

fn move_text(before: &Columns, after: &Columns, names: &mut Names<'_>) -> Result<Option<String>, RegisterError> {
    Ok(match (filled(Some(before), "bin"), filled(Some(after), "bin")) {
        (Some(from), Some(to)) => Some(format!("moved from {} to {}", names.bin(from)?, names.bin(to)?)),
        (None, Some(to)) => Some(format!("put into {}", names.bin(to)?)),
        (Some(from), None) => Some(format!("taken from {}", names.bin(from)?)),
        (None, None) => None,
    })
}

/// What became of a planned move; where it was put is said by the item's own row.
fn planned_move(row: &JournalRow, names: &mut Names<'_>) -> Result<Vec<String>, RegisterError> {
    if row.before.is_none() && is_of_dropped_plan(row, names)? {
        return Ok(Vec::new());
    }
    let text = match (&row.before, &row.after) {
        (None, Some(after)) => match (filled(Some(after), "source"), filled(Some(after), "target")) {
            (Some(from), Some(to)) => format!("to go from {} to {} by plan", names.bin(from)?, names.bin(to)?),
            _ => row.action.clone(),
        },
        (Some(_), None) => "not to be moved by plan any more".into(),
        (_, after) => match filled(after.as_ref(), "state").and_then(Value::as_str) {
            Some("open") => "still to be moved by plan".into(),
            Some("taken") => "taken to be moved".into(),
            Some("done") => "as planned".into(),
            Some("missing") => "not found where it was to be taken".into(),
            Some("void") => "not to be moved by plan any more".into(),
            _ => row.action.clone(),
        },
    };
    Ok(vec![text])
}

/// A plan that was replaced or dropped is not worth telling of: what was taken for it says so.
fn is_of_dropped_plan(row: &JournalRow, names: &Names<'_>) -> Result<bool, RegisterError> {
    let plan = filled(row.after.as_ref(), "regroup").and_then(Value::as_i64);
    plan.map_or(Ok(false), |plan| names.register.is_regroup_dropped(RegroupId::by_key(plan)))
}

fn field_text(field: &Field<'_>, names: &Names<'_>) -> String {
    let value = |value: &Value| match field.name {
        "cost" | "asking" | "price" | "fees" | "postage" => names.amount(value),
        "title" | "note" => format!("`{}`", plain(value)),
        _ => plain(value),
    };
    match (field.before, field.after) {
        (Some(before), Some(after)) => format!("{} {} → {}", field.name, value(before), value(after)),
        (None, Some(after)) => format!("{} {}", field.name, value(after)),
        (Some(before), None) => format!("{} {} → none", field.name, value(before)),
        (None, None) => format!("{} none", field.name),
    }
}

fn bin(row: &JournalRow, names: &Names<'_>) -> Result<Vec<String>, RegisterError> {
    let mut said = Vec::new();
    match (&row.before, &row.after) {
        (None, Some(after)) => {
            let spot = filled(Some(after), "spot").map(|spot| names.spot(spot)).transpose()?;
            said.push(spot.map_or_else(|| "bin added".into(), |spot| format!("bin added at {spot}")));
            said.extend(room_changes(&Columns::new(), after));
        }
        (Some(before), Some(after)) => {
            if let Some(state) = filled(Some(after), "state") {
                said.push(if state == "undone" { "entry taken back" } else { "entry brought back" }.into());
            }
            if after.contains_key("retired") {
                let is_retired = filled(Some(after), "retired").is_some();
                said.push(if is_retired { "retired" } else { "in use again" }.into());
            }
            if let (Some(from), Some(to)) = (filled(Some(before), "payload"), filled(Some(after), "payload")) {
                let code = |payload| crate::job::reference::code_text(&plain(payload));
                said.push(format!("code {} → {}", code(from), code(to)));
            }
            if after.contains_key("state") {
                return Ok(said);
            }
            if after.contains_key("spot") {
                let spot = |columns| filled(Some(columns), "spot").map(|spot| names.spot(spot)).transpose();
                let (from, to) = (spot(before)?, spot(after)?);
                let none = || "no spot".to_owned();
                said.push(format!("spot {} → {}", from.unwrap_or_else(none), to.unwrap_or_else(none)));
            }
            if after.contains_key("stack") {
                let (before, after) = (filled(Some(before), "stack"), filled(Some(after), "stack"));
                said.push(field_text(&Field { name: "stack", before, after }, names));
            }
            said.extend(room_changes(before, after));
        }
        _ => said.push(row.action.clone()),
    }
    Ok(said)
}

fn old_name(row: &JournalRow) -> Vec<String> {
    let old = filled(row.after.as_ref().or(row.before.as_ref()), "old").map(plain).unwrap_or_default();
    let done = if row.after.is_some() { "taken on" } else { "no longer a name of it" };
    vec![format!("old code `{old}` {done}")]
}

fn sale(row: &JournalRow, names: &Names<'_>) -> Vec<String> {
    match (&row.before, &row.after) {
        (None, Some(after)) => vec![sold_text(after, names)],
        (Some(_), None) => vec!["sale taken back".into()],
        (Some(before), Some(after)) => {
            let mut said = Vec::new();
            let days = [("picked", "picked", "not picked"), ("returned", "came back", "did not come back")];
            for (name, text, undone) in days {
                if let Some(day) = filled(Some(after), name) {
                    said.push(format!("{text} on {}", plain(day)));
                } else if after.contains_key(name) {
                    said.push(format!("{undone} after all"));
                }
            }
            for name in ["day", "price", "fees", "postage", "order_no"] {
                let field = Field { name, before: filled(Some(before), name), after: filled(Some(after), name) };
                if after.contains_key(name) {
                    said.push(format!("sale: {}", field_text(&field, names).replace("order_no", "order")));
                }
            }
            said
        }
        (None, None) => Vec::new(),
    }
}

fn sold_text(after: &Columns, names: &Names<'_>) -> String {
    let price = filled(Some(after), "price").map(|price| format!(" for {}", names.amount(price)));
    let day = filled(Some(after), "day").map(|day| format!(" on {}", plain(day)));
    let order = filled(Some(after), "order_no").map(|order| format!(", order {}", plain(order)));
    format!("sold{}{}{}", price.unwrap_or_default(), day.unwrap_or_default(), order.unwrap_or_default())
}

fn refund(row: &JournalRow, names: &Names<'_>) -> Vec<String> {
    let columns = row.after.as_ref().or(row.before.as_ref());
    let amount = filled(columns, "amount").map(|amount| names.amount(amount)).unwrap_or_default();
    let day = filled(columns, "day").map(plain).unwrap_or_default();
    let done = if row.after.is_some() { "refunded" } else { "refund taken back" };
    vec![format!("{amount} {done}, {day}")]
}

fn tally(row: &JournalRow) -> Vec<String> {
    let Some(after) = &row.after else { return vec!["count taken back".into()] };
    let number = |name| filled(Some(after), name).map_or_else(|| "0".into(), plain);
    vec![format!(
        "counted: {} present, {} missing, {} misplaced, {} unknown",
        number("present"),
        number("missing"),
        number("misplaced"),
        number("unknown")
    )]
}

fn of_first_versions(row: &JournalRow, names: &mut Names<'_>) -> Result<Vec<String>, RegisterError> {
    match (&row.before, &row.after) {
        (None, Some(after)) if row.action == "item added" => entered(after, names),
        (Some(before), Some(after)) if row.action == "item moved" => {
            Ok(move_text(before, after, names)?.into_iter().collect())
        }
        (_, Some(after)) if row.action == "bin added" => {
            let spot = filled(Some(after), "spot").map(|spot| format!(" at {}", plain(spot)));
            Ok(vec![format!("bin added{}", spot.unwrap_or_default())])
        }
        _ => Ok(vec![row.action.clone()]),
    }
}

/// What is not taken back: prints, sheets, printers, fonts, and whatever the first versions did.
pub(super) fn unchanged_text(row: &JournalRow) -> String {
    let columns = row.after.as_ref().or(row.before.as_ref());
    let text = |name| filled(columns, name).map(plain);
    let number = |name| filled(columns, name).and_then(Value::as_i64);
    if let (Some(run), Some(kind), Some(labels)) = (number("run"), text("kind"), number("labels")) {
        let file = text("file").map(|file| file_name(&file)).unwrap_or_default();
        let done = row.action.strip_prefix("run ").unwrap_or(&row.action);
        let noun = if labels == 1 { "label" } else { "labels" };
        return format!("{done}: run {run:04}, {kind}, {labels} {noun}, {file}");
    }
    if row.action == "setting changed" {
        let set = columns.into_iter().flatten().map(|(name, value)| format!("{name} {}", plain(value)));
        return format!("set {}", set.collect::<Vec<_>>().join(", "));
    }
    let named = ["code", "area", "title", "sheet", "printer", "font", "path", "name", "spot", "bin"];
    let said = named.iter().filter_map(|name| text(name)).collect::<Vec<_>>().join(" ");
    if said.is_empty() { row.action.clone() } else { format!("{}: {said}", row.action) }
}

fn file_name(path: &str) -> String {
    path.rsplit(['/', '\\']).next().unwrap_or(path).to_owned()
}
