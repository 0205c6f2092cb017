//! The append-only journal: what changed, when, from what to what.

use rusqlite::{Transaction, params};
use serde_json::Value;

use super::RegisterError;

/// One change for the journal.
#[derive(Debug, Default)]
pub(super) struct Entry {
    pub action: &'static str,
    pub item: Option<i64>,
    pub bin: Option<i64>,
    pub before: Option<Value>,
    pub after: Option<Value>,
}

pub(super) fn write_in(tx: &Transaction<'_>, entry: &Entry) -> Result<(), RegisterError> {
    let text = |value: &Option<Value>| value.as_ref().map(Value::to_string);
    let mut insert = tx
        .prepare_cached("INSERT INTO journal (at, action, item, bin, before, after) VALUES (?1, ?2, ?3, ?4, ?5, ?6)")?;
    insert.execute(params![now(), entry.action, entry.item, entry.bin, text(&entry.before), text(&entry.after)])?;
    Ok(())
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
