//! The words of takings: what their figures are called, what is not in them, and how a goal stands.

use super::count;
use crate::{
    exchange::tenths_text,
    plan::{Age, Figures, Goal, Takings, Worth},
    unit::{Balance, Currency},
};

/// Stands below all figures.
pub const NO_TAX_ADVICE: &str = "Sums of what was entered; no tax advice.";

/// `Takings from 2026-01-01 to 2026-11-25, in EUR`
#[must_use]
pub fn takings_heading(takings: &Takings, currency: &Currency) -> String {
    let days = takings.periods.from().zip(takings.periods.to());
    let days = days.map(|(from, to)| format!("{from} to {to}")).unwrap_or_default();
    let unit = if currency.is_none() { String::new() } else { format!(", in {}", currency.code()) };
    format!("Takings from {days}{unit}")
}

/// A column of a table of periods.
pub struct TakingsColumn<'a> {
    /// Its heading, with `#` behind it where numbers stand below.
    pub heading: &'static str,
    /// What stands there for a period.
    pub cell: Box<dyn Fn(&Figures) -> String + 'a>,
}

fn shown<'a>(heading: &'static str, cell: impl Fn(&Figures) -> String + 'a) -> TakingsColumn<'a> {
    TakingsColumn { heading, cell: Box::new(cell) }
}

/// What was earned.
#[must_use]
pub fn earned_columns(currency: &Currency) -> Vec<TakingsColumn<'_>> {
    let money = |balance: Balance| currency.format_balance(balance);
    vec![
        shown("sold#", |figures| figures.sold.count.to_string()),
        shown("revenue#", |figures| tally(figures.sold, currency)),
        shown("fees#", move |figures| money(figures.fees)),
        shown("postage#", move |figures| money(figures.postage + figures.return_postage)),
        shown("cost#", |figures| tally(figures.sold_cost, currency)),
        shown("returned#", |figures| tally(figures.returned, currency)),
        shown("refunds#", move |figures| money(figures.refunds)),
        shown("expenses#", move |figures| money(figures.expenses)),
        shown("profit#", move |figures| marked(money(figures.profit), figures.profit_unknown)),
        shown("margin#", |figures| percent(figures.margin)),
    ]
}

/// What came in, is listed and is on the shelves.
#[must_use]
pub fn stock_columns(currency: &Currency) -> Vec<TakingsColumn<'_>> {
    vec![
        shown("bought#", |figures| figures.bought.count.to_string()),
        shown("for#", |figures| tally(figures.bought, currency)),
        shown("listed#", |figures| figures.listed.count.to_string()),
        shown("worth#", |figures| tally(figures.listed, currency)),
        shown("shelves#", |figures| figures.shelves.count.to_string()),
        shown("worth#", |figures| tally(figures.shelves, currency)),
        shown("sell-through#", |figures| percent(figures.sell_through)),
        shown("days#", |figures| figures.days_to_sell.map(tenths_text).unwrap_or_default()),
    ]
}

fn tally(tally: Worth, currency: &Currency) -> String {
    marked(currency.format_balance(tally.amount), tally.unknown)
}

/// `*` where something is not known.
fn marked(amount: String, unknown: i64) -> String {
    if unknown > 0 { amount + "*" } else { amount }
}

fn percent(tenths: Option<i64>) -> String {
    tenths.map(|tenths| tenths_text(tenths) + " %").unwrap_or_default()
}

/// `31 to 91 days`
#[must_use]
pub fn age_text(age: &Age) -> String {
    match age.to {
        Some(to) => format!("{} to {to} days", age.from),
        None => format!("{} days or more", age.from),
    }
}

/// What stands in a column for an age.
type AgeCell = fn(&Age, &Currency) -> String;

/// What is left of an age: how many items, what they cost, what is asked for them.
#[must_use]
pub fn age_columns() -> [(&'static str, AgeCell); 3] {
    [
        ("items", |age, _| age.cost.count.to_string()),
        ("cost", |age, currency| tally(age.cost, currency)),
        ("asking", |age, currency| tally(age.asking, currency)),
    ]
}

/// Where a goal stands.
#[must_use]
pub fn goal_text(goal: &Goal, takings: &Takings, currency: &Currency) -> String {
    let money = |balance: Balance| currency.format_balance(balance);
    let from = takings.periods.from().map(|from| from.to_string()).unwrap_or_default();
    let (wanted, profit) = (currency.format(goal.goal), money(goal.profit));
    let pace = format!(
        "Pace so far {} a week; going on like this it is {} by {}.",
        money(goal.pace_a_week),
        money(goal.expected),
        goal.by
    );
    if goal.needed == Balance::ZERO {
        return format!("Goal of {wanted} by {}: reached, {profit} since {from}.\n{pace}", goal.by);
    }
    let left = count(u64::from(goal.days_left.unsigned_abs()), "day");
    let (needed, weekly) = (money(goal.needed), money(goal.needed_a_week));
    let by = goal.by;
    format!(
        "Goal of {wanted} by {by}: {profit} since {from}, {needed} to go.\n\
         Needed {weekly} a week in the {left} left.\n{pace}"
    )
}

/// What is not in the figures.
#[must_use]
pub fn takings_notes(total: &Figures, currency: &Currency) -> Vec<String> {
    let items = |number: i64, noun: &str| count(number.unsigned_abs(), noun);
    let mut notes = Vec::new();
    if total.profit_unknown > 0 {
        let sales = items(total.profit_unknown, "sale");
        notes.push(format!(
            "* profit without {sales} whose cost or price is not known; `stowmark item edit CODE --cost AMOUNT` tells a cost"
        ));
    }
    let unknown = [
        (total.bought.unknown, "cost", "bought"),
        (total.listed.unknown.max(total.shelves.unknown), "asking price", "listed"),
    ];
    for (number, what, how) in unknown.into_iter().filter(|(number, ..)| *number > 0) {
        notes.push(format!("* {} {how} whose {what} is not known", items(number, "item")));
    }
    if total.gone.count > 0 {
        let (gone, cost) = (items(total.gone.count, "item"), tally(total.gone, currency));
        notes.push(format!("{gone} gone that had cost {cost}: no part of the profit"));
    }
    notes
}
