//! What was earned, on its way out: the columns of its CSV and JSON, and its chart.

use jiff::civil::Date;
use serde_json::{Value, json};

use super::{
    chart::{Chart, Group},
    columns::Columns,
    writer::{Cell, Column, RowJson},
};
use crate::{
    plan::{Age, Figures, Goal, Per, Period, Takings},
    unit::{Balance, Currency},
};

/// The figures of a period under its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PeriodRecord {
    /// `2026-11`, `2026-W48` or `total`.
    pub name: String,
    /// Its first and its last day.
    pub days: Option<(Date, Date)>,
    /// Its figures.
    pub figures: Figures,
}

impl PeriodRecord {
    /// The periods in their order.
    #[must_use]
    pub fn each(takings: &Takings) -> Vec<Self> {
        let record = |(period, figures): (&Period, &Figures)| Self {
            name: period.name.clone(),
            days: Some((period.from, period.to)),
            figures: figures.clone(),
        };
        takings.periods.list.iter().zip(&takings.figures).map(record).collect()
    }

    /// All periods together.
    #[must_use]
    pub fn total(takings: &Takings) -> Self {
        let days = takings.periods.from().zip(takings.periods.to());
        Self { name: "total".into(), days, figures: takings.total.clone() }
    }
}

macro_rules! figure_columns {
    ($($heading:literal => $cell:expr,)+) => {
        /// Of the figures of a period.
        pub static PERIOD_COLUMNS: &Columns<PeriodRecord> =
            &[$(Column { name: $heading, cell: $cell }),+];
    };
}

fn sum(balance: Balance) -> Cell {
    Cell::Balance(Some(balance))
}

fn number(number: i64) -> Cell {
    Cell::Number(Some(number))
}

figure_columns! {
    "period" => |row| Cell::text(Some(row.name.as_str())),
    "from" => |row| Cell::Day(row.days.map(|days| days.0)),
    "to" => |row| Cell::Day(row.days.map(|days| days.1)),
    "bought" => |row| number(row.figures.bought.count),
    "bought cost" => |row| sum(row.figures.bought.amount),
    "bought cost unknown" => |row| number(row.figures.bought.unknown),
    "listed" => |row| number(row.figures.listed.count),
    "listed value" => |row| sum(row.figures.listed.amount),
    "listed value unknown" => |row| number(row.figures.listed.unknown),
    "shelves" => |row| number(row.figures.shelves.count),
    "shelves value" => |row| sum(row.figures.shelves.amount),
    "shelves value unknown" => |row| number(row.figures.shelves.unknown),
    "sold" => |row| number(row.figures.sold.count),
    "revenue" => |row| sum(row.figures.sold.amount),
    "revenue unknown" => |row| number(row.figures.sold.unknown),
    "fees" => |row| sum(row.figures.fees),
    "postage" => |row| sum(row.figures.postage),
    "sold cost" => |row| sum(row.figures.sold_cost.amount),
    "sold cost unknown" => |row| number(row.figures.sold_cost.unknown),
    "refunds" => |row| sum(row.figures.refunds),
    "return postage" => |row| sum(row.figures.return_postage),
    "returned" => |row| number(row.figures.returned.count),
    "returned cost" => |row| sum(row.figures.returned.amount),
    "returned cost unknown" => |row| number(row.figures.returned.unknown),
    "gone" => |row| number(row.figures.gone.count),
    "gone cost" => |row| sum(row.figures.gone.amount),
    "gone cost unknown" => |row| number(row.figures.gone.unknown),
    "expenses" => |row| sum(row.figures.expenses),
    "profit" => |row| sum(row.figures.profit),
    "profit unknown" => |row| number(row.figures.profit_unknown),
    "margin percent" => |row| Cell::Tenths(row.figures.margin),
    "sell through percent" => |row| Cell::Tenths(row.figures.sell_through),
    "days to sell" => |row| Cell::Tenths(row.figures.days_to_sell),
}

/// All of it as JSON: the columns of each period, of the total, the ages of what is left and the goal.
#[must_use]
pub fn takings_json(takings: &Takings, goal: Option<&Goal>, currency: &Currency) -> Value {
    let columns: Vec<&'static Column<PeriodRecord>> = PERIOD_COLUMNS.iter().collect();
    let row = |record: &PeriodRecord| json!(RowJson::new(&columns, record, currency));
    json!({
        "per": match takings.periods.per { Per::Week => "week", Per::Month => "month", Per::Year => "year" },
        "currency": Some(currency.code()).filter(|_| !currency.is_none()),
        "periods": PeriodRecord::each(takings).iter().map(row).collect::<Vec<_>>(),
        "total": row(&PeriodRecord::total(takings)),
        "ages": takings.ages.iter().map(|age| age_json(age, currency)).collect::<Vec<_>>(),
        "goal": goal.map(|goal| goal_json(goal, currency)),
        "tax_advice": false,
    })
}

fn age_json(age: &Age, currency: &Currency) -> Value {
    json!({
        "from_days": age.from,
        "to_days": age.to,
        "items": age.cost.count,
        "cost": currency.format_balance(age.cost.amount),
        "cost_unknown": age.cost.unknown,
        "asking": currency.format_balance(age.asking.amount),
        "asking_unknown": age.asking.unknown,
    })
}

fn goal_json(goal: &Goal, currency: &Currency) -> Value {
    let amount = |balance| currency.format_balance(balance);
    json!({
        "goal": currency.format(goal.goal),
        "by": goal.by.to_string(),
        "profit": amount(goal.profit),
        "needed": amount(goal.needed),
        "days_left": goal.days_left,
        "needed_a_week": amount(goal.needed_a_week),
        "pace_a_week": amount(goal.pace_a_week),
        "expected": amount(goal.expected),
    })
}

/// Revenue and profit of each period as a picture.
#[must_use]
pub fn takings_svg(takings: &Takings, currency: &Currency) -> String {
    let group = |(period, figures): (&Period, &Figures)| Group {
        label: period.name.clone(),
        values: [figures.sold.amount, figures.profit],
    };
    let unit = if currency.is_none() { String::new() } else { format!(", in {}", currency.code()) };
    let days = takings.periods.from().zip(takings.periods.to());
    let days = days.map(|(from, to)| format!(" from {from} to {to}")).unwrap_or_default();
    Chart {
        title: format!("Revenue and profit{days}{unit}"),
        names: ["revenue", "profit"],
        groups: takings.periods.list.iter().zip(&takings.figures).map(group).collect(),
        currency,
        note: "Sums of what was entered; no tax advice. Profit is without sales whose price or cost is not known.",
    }
    .svg()
}
