//! Every name that ever stood for something: check letters, what it stands for, and the last one that was given.

use std::collections::HashMap;

use rusqlite::Connection;

use super::{Checked, RESTORE, written};
use crate::{
    code::{BinCode, StockCode},
    register::{RegisterError, old_name::folded},
};

const NEVER_TWICE: &str = "restore a backup before anything else is entered: a code would be given twice";

pub(super) fn check(connection: &Connection, found: &mut Checked) -> Result<(), RegisterError> {
    let last = names(connection, found)?;
    old_names(connection, found)?;
    bins(connection, &last, found)
}

/// Checks all codes, and gives the last serial that each bin has given, by its key.
fn names(connection: &Connection, found: &mut Checked) -> Result<HashMap<i64, u32>, RegisterError> {
    let (bins, mut last) = (bins_by_code(connection)?, HashMap::new());
    let mut query = connection.prepare("SELECT payload, item IS NOT NULL FROM name WHERE old IS NULL")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let (payload, is_item) = (row.get_ref(0)?.as_str().unwrap_or_default(), row.get(1)?);
        match (StockCode::from_payload(payload), is_item) {
            (Some(StockCode::Item(code)), true) => {
                if let Some(bin) = bins.get(&code.bin) {
                    let serial = last.entry(*bin).or_default();
                    *serial = code.serial.get().max(*serial);
                }
            }
            (Some(StockCode::Bin(_)), false) => {}
            (Some(_), _) => found.add("code", written(payload), "it stands for a thing of the other kind", RESTORE),
            (None, _) => found.add("code", payload, "it is no code, or its check letter is wrong", RESTORE),
        }
    }
    Ok(last)
}

/// The bins by all codes that they ever had.
fn bins_by_code(connection: &Connection) -> Result<HashMap<BinCode, i64>, RegisterError> {
    let mut bins = HashMap::new();
    let mut query = connection.prepare("SELECT payload, bin FROM name WHERE bin IS NOT NULL AND old IS NULL")?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        if let Some(StockCode::Bin(code)) = StockCode::from_payload(row.get_ref(0)?.as_str().unwrap_or_default()) {
            bins.insert(code, row.get(1)?);
        }
    }
    Ok(bins)
}

fn old_names(connection: &Connection, found: &mut Checked) -> Result<(), RegisterError> {
    let mut query = connection.prepare("SELECT payload, old FROM name WHERE old IS NOT NULL")?;
    for row in query.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))? {
        let (payload, old): (String, String) = row?;
        if folded(&old) != payload || StockCode::from_payload(&payload).is_some() {
            found.add("old-code", old, "this label from before is not found as it is written", RESTORE);
        }
    }
    Ok(())
}

/// Bins have the code of their place in the area, and the next serial lies beyond the last one.
fn bins(connection: &Connection, last: &HashMap<i64, u32>, found: &mut Checked) -> Result<(), RegisterError> {
    let mut query = connection.prepare("SELECT payload, area, rank, next_serial, id FROM bin")?;
    for row in query.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?, row.get(4)?)))? {
        let (payload, area, rank, next, id): (String, i64, i64, i64, i64) = row?;
        let Some(StockCode::Bin(code)) = StockCode::from_payload(&payload) else {
            found.add("code", payload, "it is no code of a bin, or its check letter is wrong", RESTORE);
            continue;
        };
        if (i64::from(code.area().get()), i64::from(code.rank())) != (area, rank) {
            found.add("code", code.to_string(), "the bin is not the one that its code says", RESTORE);
        }
        if last.get(&id).is_some_and(|last| next <= i64::from(*last)) {
            found.add("serial", code.to_string(), "its next item would get a code that was given already", NEVER_TWICE);
        }
    }
    Ok(())
}
