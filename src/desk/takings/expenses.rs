//! Expenses that belong to no item: entered, changed, taken out.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    super::{
        answer::{Go, Page, Refusal},
        bins::{filled, fingerprint, of_field, require_seen},
        pairing::new_secret,
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
    },
    figures::date,
};
use crate::{
    job::{Settings, today},
    register::{Expense, Register, RegisterError, Terms, Title},
    unit::{Balance, Currency},
};

/// What is typed of an expense; with a number it is one that is changed.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct ExpenseForm {
    number: String,
    /// The number of this sending: it enters one once.
    once: String,
    /// How the one that is changed was when the form was made.
    seen: String,
    amount: String,
    what: String,
    day: String,
}

#[derive(Debug, Deserialize)]
pub(super) struct Wanted {
    /// The number of the one to be changed.
    #[serde(default)]
    edit: String,
}

#[derive(Debug, Template)]
#[template(path = "takings_expenses.html")]
struct ExpensesPage {
    shell: Shell,
    tab: &'static str,
    typed: ExpenseForm,
    refused: Option<String>,
    rows: Vec<ExpenseView>,
    total: String,
}

#[derive(Debug)]
struct ExpenseView {
    number: i64,
    seen: String,
    day: String,
    amount: String,
    what: String,
}

impl ExpenseView {
    fn new(expense: &Expense, currency: &Currency) -> Self {
        let (number, day) = (expense.number, expense.day.to_string());
        let (seen, what) = (fingerprint(expense), expense.what.clone());
        Self { number, seen, day, amount: currency.format(expense.amount), what }
    }
}

/// The latest first; with one of them to be changed in the form.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(wanted): Query<Wanted>,
) -> Result<Page<impl Template>, Refusal> {
    let number: Option<i64> = wanted.edit.parse().ok();
    let typed = desk
        .read(move |register| {
            let currency = Settings::of(register)?.currency;
            let expenses = register.expenses(None, None)?;
            let wanted = expenses.iter().find(|expense| Some(expense.number) == number);
            Ok::<_, Refusal>(wanted.map(|expense| typed(expense, &currency)))
        })
        .await?;
    let once = new_secret()?;
    let fresh = || ExpenseForm { day: today().to_string(), once, ..ExpenseForm::default() };
    shown(&desk, &visitor, typed.unwrap_or_else(fresh), None).await
}

fn typed(expense: &Expense, currency: &Currency) -> ExpenseForm {
    let ExpenseView { number, seen, day, amount, what } = ExpenseView::new(expense, currency);
    ExpenseForm { number: number.to_string(), seen, amount, what, day, ..ExpenseForm::default() }
}

async fn shown(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    mut typed: ExpenseForm,
    refused: Option<String>,
) -> Result<Page<ExpensesPage>, Refusal> {
    let (rows, total) = desk.read(rows).await?;
    // Whoever is refused sees below how it is now.
    if let Some(now) = rows.iter().find(|row| row.number.to_string() == typed.number) {
        typed.seen.clone_from(&now.seen);
    }
    let shell = visitor.shell(desk, "Expenses", Place::Takings);
    Ok(Page(ExpensesPage { shell, tab: "expenses", typed, refused, rows, total }))
}

fn rows(register: &Register) -> Result<(Vec<ExpenseView>, String), Refusal> {
    let currency = Settings::of(register)?.currency;
    let expenses = register.expenses(None, None)?;
    let total: Balance = expenses.iter().map(|expense| Balance::from(expense.amount)).sum();
    let rows = expenses.iter().rev().map(|expense| ExpenseView::new(expense, &currency)).collect();
    Ok((rows, currency.format_balance(total)))
}

/// Enters one, or changes the one of the form's number.
pub(super) async fn save(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<ExpenseForm>,
) -> Result<Response, Refusal> {
    let sent = form.clone();
    match desk.change_noting(move |register| enter(register, &sent)).await {
        Ok((text, change)) => {
            desk.tell(visitor.device.id, Told::done(text, change));
            Ok(Go("/takings/expenses".into()).into_response())
        }
        Err(refusal) => {
            let status = refusal.status;
            Ok((status, shown(&desk, &visitor, form, Some(refusal.text)).await?).into_response())
        }
    }
}

fn enter(register: &mut Register, form: &ExpenseForm) -> Result<String, Refusal> {
    let currency = Settings::of(register)?.currency;
    let amount = of_field("Amount", currency.parse(&form.amount))?;
    let what = of_field("What for", Title::new(&form.what))?;
    let day = date(&form.day)?;
    let (expense, done) = if form.number.is_empty() {
        let terms = Terms { scan: filled(&form.once).map(str::to_owned), unchanged: Vec::new() };
        match register.on(terms, |register| register.add_expense(amount, &what, day)) {
            Err(RegisterError::ScannedBefore(_)) => {
                return Ok("This was entered already, so it was not entered again.".into());
            }
            entered => (entered?, "Entered"),
        }
    } else {
        let number = form.number.parse().map_err(|_| Refusal::nothing("There is no such expense any more."))?;
        let now = register.expenses(None, None)?.into_iter().find(|expense| expense.number == number);
        now.map_or(Ok(()), |now| require_seen(&form.seen, &fingerprint(&now)))?;
        (register.edit_expense(number, amount, &what, day)?, "Changed")
    };
    Ok(format!("{done}: {} for {}, {}.", currency.format(expense.amount), expense.what, expense.day))
}

#[derive(Debug, Deserialize)]
pub(super) struct RemoveForm {
    number: i64,
}

/// Takes one out.
pub(super) async fn remove(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<RemoveForm>,
) -> Result<Go, Refusal> {
    let (expense, change) = desk.change(move |register| register.remove_expense(form.number)).await?;
    desk.tell(visitor.device.id, Told::done(format!("Removed: {}, {}.", expense.what, expense.day), change));
    Ok(Go("/takings/expenses".into()))
}
