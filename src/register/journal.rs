//! The append-only journal: what changed, when, from what to what.

use rusqlite::{Connection, params};
use serde_json::Value;

use super::{ChangeId, RegisterError, row::Key};

/// One change for the journal.
#[derive(Debug, Default)]
pub(super) struct Entry<'a> {
    pub action: &'static str,
    /// The change that it is a part of, if that can be taken back.
    pub change: Option<ChangeId>,
    /// The table and the key of the row that changed.
    pub row: Option<(&'static str, &'a Key)>,
    pub item: Option<i64>,
    pub bin: Option<i64>,
    pub before: Option<Value>,
    pub after: Option<Value>,
}

pub(super) fn write_in(tx: &Connection, entry: &Entry<'_>) -> Result<(), RegisterError> {
    let text = |value: &Option<Value>| value.as_ref().map(Value::to_string);
    let (subject, key) = entry.row.unzip();
    let sql = "INSERT INTO journal (change, at, action, subject, key, item, bin, before, after)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
    tx.prepare_cached(sql)?.execute(params![
        entry.change.map(|change| change.0),
        now(),
        entry.action,
        subject,
        key,
        entry.item,
        entry.bin,
        text(&entry.before),
        text(&entry.after)
    ])?;
    Ok(())
}

/// The present day here, as ISO 8601 has it.
pub(super) fn today() -> String {
    jiff::ZonedDateTime::now().date().to_string()
}

/// The present instant in UTC, to the millisecond, as ISO 8601 has it.
pub(super) fn now() -> String {
    jiff::Timestamp::now().strftime("%Y-%m-%dT%H:%M:%S%.3fZ").to_string()
}

#[cfg(test)]
mod tests {
    use super::super::Register;

    #[test]
    fn the_journal_can_be_neither_changed_nor_cut() {
        let mut register = Register::in_memory().unwrap();
        register.add_area(crate::code::AreaNumber::new(4).unwrap(), "Loft").unwrap();
        let count: i64 = register.connection.query_row("SELECT count(*) FROM journal", [], |row| row.get(0)).unwrap();
        assert_eq!(count, 1);
        for sql in ["UPDATE journal SET action = 'x'", "DELETE FROM journal"] {
            assert!(register.connection.execute(sql, []).unwrap_err().to_string().contains("append-only"), "{sql}");
        }
    }
}
