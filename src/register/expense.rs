//! Expenses that belong to no item: packing material, travel, subscriptions.

use jiff::civil::Date;
use rusqlite::{OptionalExtension, Row, params};

use super::{
    ChangeId, Register, RegisterError, Title,
    bin::damaged,
    item::money,
    row::{ExpenseRow, Key},
};
use crate::unit::Money;

/// An expense.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Expense {
    /// Its number.
    pub number: i64,
    /// The day.
    pub day: Date,
    /// How much.
    pub amount: Money,
    /// What for.
    pub what: String,
}

impl Expense {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let (day, minor): (String, i64) = (row.get("day")?, row.get("amount")?);
        Ok(Self {
            number: row.get("id")?,
            day: day.parse().map_err(|_| damaged(&day))?,
            amount: money(Some(minor))?.ok_or_else(|| damaged(&minor.to_string()))?,
            what: row.get("what")?,
        })
    }
}

impl Register {
    /// Enters an expense; without a day it is today's.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn add_expense(&mut self, amount: Money, what: &Title, day: Option<Date>) -> Result<Expense, RegisterError> {
        let day = day.unwrap_or_else(|| jiff::ZonedDateTime::now().date());
        let change = self.begin(&format!("enter expense {}", what.as_str()))?;
        let row = ExpenseRow { day: day.to_string(), amount: amount.minor(), what: what.as_str().to_owned() };
        let number = change.insert("expense added", &row)?.number();
        change.commit()?;
        Ok(Expense { number, day, amount, what: row.what })
    }

    /// Changes an expense; without a day it keeps its own.
    ///
    /// # Errors
    /// [`RegisterError::UnknownExpense`].
    pub fn edit_expense(
        &mut self,
        number: i64,
        amount: Money,
        what: &Title,
        day: Option<Date>,
    ) -> Result<Expense, RegisterError> {
        let change = self.begin(&format!("change expense {}", what.as_str()))?;
        let sql = "SELECT * FROM expense WHERE id = ?1";
        let known = change.query_row(sql, [number], Expense::from_row).optional()?;
        let known = known.ok_or(RegisterError::UnknownExpense(number))?;
        let day = day.unwrap_or(known.day);
        change.rewrite::<ExpenseRow>("expense changed", &Key::Number(number), |row| {
            (row.day, row.amount, row.what) = (day.to_string(), amount.minor(), what.as_str().to_owned());
            Ok(())
        })?;
        change.commit()?;
        Ok(Expense { number, day, amount, what: what.as_str().to_owned() })
    }

    /// Takes an expense out that was entered by mistake.
    ///
    /// # Errors
    /// [`RegisterError::UnknownExpense`].
    pub fn remove_expense(&mut self, number: i64) -> Result<(Expense, Option<ChangeId>), RegisterError> {
        let change = self.begin(&format!("remove expense {number}"))?;
        let sql = "SELECT * FROM expense WHERE id = ?1";
        let expense = change.query_row(sql, [number], Expense::from_row).optional()?;
        let expense = expense.ok_or(RegisterError::UnknownExpense(number))?;
        change.delete::<ExpenseRow>("expense removed", &Key::Number(number))?;
        Ok((expense, change.commit()?))
    }

    /// Expenses of these days, both within, by day.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn expenses(&self, from: Option<Date>, to: Option<Date>) -> Result<Vec<Expense>, RegisterError> {
        let sql = "SELECT * FROM expense WHERE (?1 IS NULL OR day >= ?1) AND (?2 IS NULL OR day <= ?2)
            ORDER BY day, id";
        let [from, to] = [from, to].map(|day| day.map(|day| day.to_string()));
        let mut query = self.connection.prepare_cached(sql)?;
        let expenses = query.query_map(params![from, to], Expense::from_row)?;
        Ok(expenses.collect::<Result<_, _>>()?)
    }
}
