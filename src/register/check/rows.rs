//! Items one by one: amounts, days, titles and the words that they are found by.

use jiff::civil::Date;
use rusqlite::{Connection, Row};

use super::{Checked, RESTORE, written};
use crate::{
    register::{RegisterError, title::spelt_out},
    unit::Money,
};

const EDIT: &str = "correct it with `stowmark item edit`";

pub(super) fn check(connection: &Connection, found: &mut Checked) -> Result<(), RegisterError> {
    let sql = "SELECT coalesce(payload, '#' || id), state, title, words, cost, asking, bought, entered, listed, gone
        FROM item";
    let mut query = connection.prepare(sql)?;
    let mut rows = query.query([])?;
    while let Some(row) = rows.next()? {
        let at = written(row.get_ref(0)?.as_str().unwrap_or_default());
        words(row, &at, found)?;
        amounts(row, &at, found)?;
        days(row, &at, found)?;
    }
    Ok(())
}

fn words(row: &Row<'_>, at: &str, found: &mut Checked) -> Result<(), RegisterError> {
    let (state, title, words): (String, String, String) = (row.get(1)?, row.get(2)?, row.get(3)?);
    if title.trim().is_empty() {
        found.add("title", at, "it has no title", EDIT);
    }
    let expected = if state == "undone" { String::new() } else { spelt_out(&title) };
    if words != expected {
        found.add("words", at, "it is not found by the words of its title", RESTORE);
    }
    Ok(())
}

fn amounts(row: &Row<'_>, at: &str, found: &mut Checked) -> Result<(), RegisterError> {
    for (column, name) in [(4, "cost"), (5, "asking price")] {
        let minor: Option<i64> = row.get(column)?;
        if let Some(minor) = minor.filter(|minor| Money::from_minor(*minor).is_none()) {
            found.add("amount", at, format!("its {name} is `{minor}`, which is no amount"), EDIT);
        }
    }
    Ok(())
}

fn days(row: &Row<'_>, at: &str, found: &mut Checked) -> Result<(), RegisterError> {
    for (column, name) in [(6, "bought"), (7, "entered"), (8, "listed"), (9, "gone")] {
        let day: Option<String> = row.get(column)?;
        if let Some(day) = day.filter(|day| day.len() != 10 || day.parse::<Date>().is_err()) {
            found.add(
                "day",
                at,
                format!("the day on which it was {name} is `{day}`, which is not in the calendar"),
                EDIT,
            );
        }
    }
    Ok(())
}
