//! What stands on a change: later changes of the same rows, what is in a bin or refers to a row that would go, printed
//! labels.
//!
//! Start with [`standing_on_in`], and ask [`footing_in`] for each row that comes back. A later change that was taken
//! back doesn't count, nor does one that took such a change back: together they left things as they were.

use rusqlite::params;
use serde_json::{Map, Value};

use super::{
    Later, RegisterError, RunId,
    change::{Change, ChangeId},
    retire::has_items_in,
    row::{Key, Row},
    setting::has_amounts_in,
    undo::{Step, undoable_in},
};
use crate::unit::Currency;

/// At most this many are named.
const MOST_NAMED: usize = 10;

/// The rows of later changes that count, by one column of the journal; each goes by an index, as the journal is long.
macro_rules! later_rows {
    ($which:literal) => {
        concat!(
            "SELECT journal.id, subject, key, before, after, change FROM journal JOIN change ON change.id = change
             WHERE ",
            $which,
            " AND change > ?2 AND undone_by IS NULL AND (undoes IS NULL OR undoes < ?2) ORDER BY journal.id"
        )
    };
}

/// The changes and prints that stand on a change, the first ones by their number.
pub(super) fn standing_on_in(
    change: &Change<'_>,
    target: ChangeId,
    steps: &[Step],
) -> Result<Vec<Later>, RegisterError> {
    let mut found: Vec<ChangeId> = Vec::new();
    let mut runs: Vec<RunId> = Vec::new();
    let is_last = is_last_in(change, target)?;
    for step in steps {
        let rivals = if is_last { Vec::new() } else { rivals_in(change, target, step)? };
        add_new(&mut found, rivals);
        add_new(&mut runs, prints_in(change, step)?);
        if found.len() + runs.len() >= MOST_NAMED {
            break;
        }
    }
    found.truncate(MOST_NAMED);
    found.sort_unstable();
    let named = found.into_iter().map(|id| undoable_in(change, id).map(Later::Change));
    named.chain(runs.into_iter().map(|run| Ok(Later::Run(run)))).collect()
}

fn add_new<T: PartialEq>(known: &mut Vec<T>, more: Vec<T>) {
    for one in more {
        if !known.contains(&one) {
            known.push(one);
        }
    }
}

/// Whether nothing was written since, which spares the questions about each row.
fn is_last_in(change: &Change<'_>, target: ChangeId) -> Result<bool, RegisterError> {
    let sql = "SELECT NOT EXISTS (SELECT 1 FROM journal WHERE change IS NOT NULL
        AND id >= (SELECT first_row FROM change WHERE id > ?1 ORDER BY id LIMIT 1))";
    Ok(change.prepare_cached(sql)?.query_row([target.0], |row| row.get(0))?)
}

/// Later changes of the same row, of what is in an added bin, or of what belongs to an added item or sale.
fn rivals_in(change: &Change<'_>, target: ChangeId, step: &Step) -> Result<Vec<ChangeId>, RegisterError> {
    // What is in a bin that would be out of use would be nowhere.
    let loses_items = step.subject == "bin" && step.retires() && has_items_in(change, &step.key)?;
    let belongs = |later: &Step| {
        let is_same = later.subject == step.subject && later.key == step.key;
        let is_within = match step.subject.as_str() {
            "item" | "bin" => true,
            // No more is refunded than was paid.
            "sale" => later.subject == "refund" && refers_to(later, "sale", &step.key) && later.before.is_none(),
            _ => false,
        };
        let leans = step.is_addition() || step.sets("price") || loses_items;
        if is_same { step.is_under(later) } else { is_within && leans }
    };
    let (sql, key) = match (step.subject.as_str(), about_in(change, step.id)?) {
        ("item", _) => (later_rows!("item = ?1"), step.key.clone()),
        ("bin", _) => (later_rows!("bin = ?1"), step.key.clone()),
        (_, (Some(item), _)) => (later_rows!("item = ?1"), Key::Number(item)),
        (_, (None, Some(bin))) => (later_rows!("bin = ?1"), Key::Number(bin)),
        _ => (later_rows!("key = ?1 AND item IS NULL AND bin IS NULL"), step.key.clone()),
    };
    let mut rivals = changes_in(change, sql, &key, target, belongs)?;
    if step.subject == "name" {
        // An old label that was taken on again may stand for something else now.
        let sql = later_rows!("+key = ?1 AND subject = 'name'");
        rivals.extend(changes_in(change, sql, &step.key, target, |later| step.is_under(later))?);
    }
    Ok(rivals)
}

fn changes_in(
    change: &Change<'_>,
    sql: &str,
    key: &Key,
    target: ChangeId,
    belongs: impl Fn(&Step) -> bool,
) -> Result<Vec<ChangeId>, RegisterError> {
    let mut query = change.prepare_cached(sql)?;
    let rows = query.query_map(params![key, target.0], |row| Ok((Step::from_row(row)?, row.get(5).map(ChangeId)?)))?;
    let mut changes: Vec<ChangeId> = Vec::new();
    for row in rows {
        let (later, id) = row?;
        if changes.last() != Some(&id) && belongs(&later) {
            changes.push(id);
            if changes.len() >= MOST_NAMED {
                break;
            }
        }
    }
    Ok(changes)
}

/// Whether a change sets a column to this key.
fn refers_to(step: &Step, column: &str, key: &Key) -> bool {
    let value = step.after.as_ref().or(step.before.as_ref()).and_then(|columns| columns.get(column));
    value.and_then(Value::as_i64) == Some(key.number())
}

fn about_in(change: &Change<'_>, journal_row: i64) -> Result<(Option<i64>, Option<i64>), RegisterError> {
    let sql = "SELECT item, bin FROM journal WHERE id = ?1";
    Ok(change.prepare_cached(sql)?.query_row([journal_row], |row| Ok((row.get(0)?, row.get(1)?)))?)
}

/// Runs that printed, or are about to print, a label of an item or a bin whose entry, or whose first code, would go.
fn prints_in(change: &Change<'_>, step: &Step) -> Result<Vec<RunId>, RegisterError> {
    let loses_code = |before: &Map<String, Value>| before.get("payload").is_some_and(Value::is_null);
    let sql = match step.subject.as_str() {
        "item" if step.is_addition() || step.before.as_ref().is_some_and(loses_code) => {
            "SELECT DISTINCT run.id FROM label JOIN run ON run.id = label.run
             WHERE label.item = ?1 AND run.state <> 'cancelled'"
        }
        "bin" if step.is_addition() => {
            "SELECT DISTINCT run.id FROM label JOIN run ON run.id = label.run
             WHERE label.bin = ?1 AND run.state <> 'cancelled'"
        }
        "area" if step.is_addition() => {
            "SELECT DISTINCT run.id FROM label JOIN run ON run.id = label.run
             WHERE label.area = ?1 AND run.state <> 'cancelled'"
        }
        _ => return Ok(Vec::new()),
    };
    let mut query = change.prepare_cached(sql)?;
    let runs = query.query_map([&step.key], |row| row.get(0).map(RunId))?;
    Ok(runs.collect::<Result<_, _>>()?)
}

/// What took away that which a row refers to when it comes back: an item's bin, a bin's spot, a refund's sale.
pub(super) fn footing_in(change: &Change<'_>, target: ChangeId, step: &Step) -> Result<Vec<Later>, RegisterError> {
    let mut missing = Vec::new();
    for (subject, is_there, key) in references(step) {
        if !change.prepare_cached(is_there)?.exists([&key])? {
            let sql = later_rows!("+key = ?1 AND subject IN ('area', 'bin', 'item', 'sale', 'spot')");
            let found = changes_in(change, sql, &key, target, |later| later.subject == subject)?;
            missing.extend(found.last().copied());
        }
    }
    missing.into_iter().map(|id| undoable_in(change, id).map(Later::Change)).collect()
}

/// The table, the question whether the row is there, and its key, for each reference that would be set again.
fn references(step: &Step) -> Vec<(&'static str, &'static str, Key)> {
    let Some(before) = &step.before else { return Vec::new() };
    let columns: &[(&str, &str, &str)] = match step.subject.as_str() {
        "item" | "tally" => &[("bin", "bin", LIVE_BIN)],
        "bin" => &[("spot", "spot", "SELECT 1 FROM spot WHERE id = ?1"), ("area", "area", AREA)],
        "spot" => &[("area", "area", AREA)],
        "name" => &[("item", "item", LIVE_ITEM), ("bin", "bin", LIVE_BIN)],
        "sale" => &[("item", "item", LIVE_ITEM)],
        "refund" => &[("sale", "sale", "SELECT 1 FROM sale WHERE id = ?1")],
        _ => &[],
    };
    let named = columns.iter().filter_map(|(column, subject, is_there)| {
        let key = before.get(*column)?.as_i64()?;
        Some((*subject, *is_there, Key::Number(key)))
    });
    named.collect()
}

const AREA: &str = "SELECT 1 FROM area WHERE number = ?1";
const LIVE_BIN: &str = "SELECT 1 FROM bin WHERE id = ?1 AND state = 'live' AND retired IS NULL";
const LIVE_ITEM: &str = "SELECT 1 FROM item WHERE id = ?1 AND state <> 'undone'";

/// An area that goes must not be needed by what stays for ever: codes of bins carry its number, and labels of runs, also
/// of cancelled ones, stay on record.
pub(super) fn refuse_used_area_in(change: &Change<'_>, key: &Key) -> Result<(), RegisterError> {
    // Bins may have gone to other areas since.
    let sql = "SELECT 1 FROM area WHERE number = ?1 AND next_rank > 0";
    if change.prepare_cached(sql)?.exists([key])? {
        return Err(RegisterError::AreaHasCodes(key.number()));
    }
    let run: Option<i64> =
        change.prepare_cached("SELECT min(run) FROM label WHERE area = ?1")?.query_row([key], |row| row.get(0))?;
    run.map_or(Ok(()), |run| Err(RegisterError::AreaOnRecord { area: key.number(), run: RunId(run) }))
}

/// A spot that other bins have come to since, or whose strip was printed, stays: it is but a name.
pub(super) fn is_used_spot_in(change: &Change<'_>, key: &Key) -> Result<bool, RegisterError> {
    let sql =
        "SELECT 1 WHERE EXISTS (SELECT 1 FROM bin WHERE spot = ?1) OR EXISTS (SELECT 1 FROM label WHERE spot = ?1)";
    Ok(change.prepare_cached(sql)?.exists([key])?)
}

/// Another currency may have another number of decimals, and amounts are kept without a point.
pub(super) fn refuse_amounts_in(change: &Change<'_>, step: &Step) -> Result<(), RegisterError> {
    if step.subject != super::row::SettingRow::SUBJECT || step.key != Key::Text("currency".into()) {
        return Ok(());
    }
    let digits = |columns: &Option<Map<String, Value>>| {
        let code = columns.as_ref().and_then(|columns| columns.get("value")).and_then(Value::as_str);
        code.and_then(|code| Currency::new(code).ok()).unwrap_or_default().digits()
    };
    let differs = digits(&step.before) != digits(&step.after);
    if differs && has_amounts_in(change)? { Err(RegisterError::AmountsStand) } else { Ok(()) }
}
