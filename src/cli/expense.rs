//! `stowmark expense`

use clap::Subcommand;
use serde_json::{Value, json};

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
    values::date,
};
use crate::{
    register::{Expense, Title},
    unit::{Balance, Currency},
};

#[derive(Debug, Subcommand)]
pub(super) enum ExpenseCommand {
    /// Enter an expense that belongs to no item
    #[command(after_help = "Example:
  stowmark expense add 12.50 Packing tape, 6 rolls
  stowmark expense add 8.40 \"Bus to the flea market\" --on 2026-11-21")]
    Add {
        /// How much
        #[arg(value_name = "AMOUNT", allow_hyphen_values = true)]
        amount: String,
        /// What for
        #[arg(required = true, value_name = "TEXT")]
        what: Vec<String>,
        /// The day, such as 2026-11-21; else today
        #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
        on: Option<String>,
    },
    /// List expenses by day
    #[command(after_help = "Example:\n  stowmark expense list --from 2026-11-01 --to 2026-11-30")]
    List {
        /// From this day on
        #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
        from: Option<String>,
        /// Up to this day
        #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
        to: Option<String>,
        #[command(flatten)]
        arrange: Arrange,
    },
    /// Take an expense out that was entered by mistake
    #[command(after_help = "`stowmark undo` brings it back.

Example:
  stowmark expense remove 3")]
    Remove {
        /// Its number, as `stowmark expense list` shows it
        #[arg(value_name = "NUMBER")]
        number: u32,
    },
}

pub(super) fn run(command: &ExpenseCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    match command {
        ExpenseCommand::Add { amount: text, what, on } => {
            let money = currency.parse(text).map_err(|source| CliError::Amount { option: "AMOUNT", source })?;
            let (what, day) = (Title::new(&what.join(" "))?, date("--on", on.as_deref())?);
            let expense = session.register_for_change()?.add_expense(money, &what, day)?;
            answer(&expense, "", &currency, session)
        }
        ExpenseCommand::List { from, to, arrange } => {
            let (from, to) = (date("--from", from.as_deref())?, date("--to", to.as_deref())?);
            let expenses = session.register()?.expenses(from, to)?;
            let expenses = arrange.apply(&HEADINGS, expenses, |expense| row(expense, &currency))?;
            list(&expenses, &currency, session)
        }
        ExpenseCommand::Remove { number } => {
            let (expense, _) = session.register_for_change()?.remove_expense((*number).into())?;
            answer(&expense, "removed: ", &currency, session)
        }
    }
}

fn answer(
    expense: &Expense,
    done: &str,
    currency: &Currency,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let json = json!({ "expenses": [expense_json(expense, currency)] });
    session.answer(&json, || {
        let (number, day) = (expense.number, expense.day);
        format!("{done}expense {number}, {day}: {} for {}", currency.format(expense.amount), expense.what)
    })?;
    Ok(Outcome::Done)
}

const HEADINGS: [&str; 4] = ["number#", "day", "amount#", "for"];

fn row(expense: &Expense, currency: &Currency) -> Vec<String> {
    let amount = currency.format(expense.amount);
    vec![expense.number.to_string(), expense.day.to_string(), amount, expense.what.clone()]
}

fn list(expenses: &[Expense], currency: &Currency, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let total: Balance = expenses.iter().map(|expense| Balance::from(expense.amount)).sum();
    let json = json!({
        "expenses": expenses.iter().map(|expense| expense_json(expense, currency)).collect::<Vec<_>>(),
        "total": currency.format_balance(total),
    });
    session.answer(&json, || {
        let last = vec![String::new(), "total".into(), currency.format_balance(total), String::new()];
        let rows = expenses.iter().map(|expense| row(expense, currency)).chain([last]);
        if expenses.is_empty() { "no expenses".into() } else { table(&HEADINGS, rows) }
    })?;
    Ok(Outcome::Done)
}

fn expense_json(expense: &Expense, currency: &Currency) -> Value {
    json!({
        "number": expense.number,
        "day": expense.day.to_string(),
        "amount": currency.format(expense.amount),
        "what": expense.what,
    })
}
