//! Figures by weeks, months or years, with a chart, the ages of what is left, and a goal.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use form_urlencoded::Serializer;
use jiff::civil::Date;
use serde::Deserialize;

use super::super::{
    answer::{FileAnswer, Page, Refusal},
    shell::{Place, Shell, Visitor},
    state::Desk,
    words::{desk_words, sentence},
};
use crate::{
    exchange::{PeriodRecord, parse_date, takings_svg},
    job::{
        NO_TAX_ADVICE, Settings, TakingsColumn, TakingsOptions, age_columns, age_text, earned_columns, goal_text,
        stock_columns, takings, takings_csv, takings_heading, takings_notes,
    },
    plan::{Goal, Per, Takings},
    register::Register,
    unit::Currency,
};

/// What the page asks for.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    from: String,
    to: String,
    per: String,
    goal: String,
    by: String,
}

impl Asked {
    fn options(&self, currency: &Currency) -> Result<TakingsOptions, Refusal> {
        let goal = given(&self.goal).map(|text| currency.parse(text)).transpose()?;
        let by = date(&self.by)?;
        if goal.is_some() != by.is_some() {
            return Err(Refusal::input("A goal is an amount and the day by which you want it: give both."));
        }
        let per = match self.per.as_str() {
            "week" => Some(Per::Week),
            "month" => Some(Per::Month),
            "year" => Some(Per::Year),
            _ => None,
        };
        Ok(TakingsOptions { from: date(&self.from)?, to: date(&self.to)?, per, goal: goal.zip(by) })
    }

    /// The address of the file with the same figures.
    fn csv(&self) -> String {
        let pairs = [("from", &self.from), ("to", &self.to), ("per", &self.per)];
        let mut query = Serializer::new(String::new());
        query.extend_pairs(pairs.into_iter().filter(|(_, value)| !value.is_empty()));
        format!("/takings/takings.csv?{}", query.finish())
    }
}

/// What stands in a field, unless it is empty.
pub(super) fn given(text: &str) -> Option<&str> {
    Some(text.trim()).filter(|text| !text.is_empty())
}

/// The day in a field, unless it is empty.
pub(super) fn date(text: &str) -> Result<Option<Date>, Refusal> {
    Ok(given(text).map(parse_date).transpose()?)
}

#[derive(Debug, Template)]
#[template(path = "takings.html")]
struct TakingsPage {
    shell: Shell,
    tab: &'static str,
    asked: Asked,
    csv: String,
    refused: Option<String>,
    figures: Option<Figures>,
}

/// All that is shown.
#[derive(Debug)]
struct Figures {
    heading: String,
    /// Nothing was sold, bought or spent.
    is_empty: bool,
    sums: Vec<(&'static str, String)>,
    svg: String,
    tables: Vec<Table>,
    goal: Vec<String>,
    notes: Vec<String>,
}

/// A table with names before its rows.
#[derive(Debug)]
struct Table {
    title: &'static str,
    first: &'static str,
    heads: Vec<&'static str>,
    rows: Vec<(String, Vec<String>)>,
}

/// The page.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(asked): Query<Asked>,
) -> Result<Response, Refusal> {
    let wanted = asked.clone();
    let figures = desk.read(move |register| figures(register, &wanted)).await;
    let (status, figures, refused) = match figures {
        Ok(figures) => (StatusCode::OK, Some(figures), None),
        Err(refusal) => (refusal.status, None, Some(refusal.text)),
    };
    let (shell, csv) = (visitor.shell(&desk, "Takings", Place::Takings), asked.csv());
    Ok((status, Page(TakingsPage { shell, tab: "takings", asked, csv, refused, figures })).into_response())
}

/// The same figures as CSV.
pub(super) async fn file(State(desk): State<Arc<Desk>>, Query(asked): Query<Asked>) -> Result<FileAnswer, Refusal> {
    let bytes = desk
        .read(move |register| {
            let (takings, _) = takings(register, &asked.options(&Settings::of(register)?.currency)?)?;
            let mut bytes = Vec::new();
            takings_csv(register, &takings, true, &mut bytes)?;
            Ok::<_, Refusal>(bytes)
        })
        .await?;
    Ok(FileAnswer { name: "takings.csv".into(), mime: "text/csv; charset=utf-8", keep: true, bytes })
}

fn figures(register: &Register, asked: &Asked) -> Result<Figures, Refusal> {
    let currency = Settings::of(register)?.currency;
    let (takings, goal) = takings(register, &asked.options(&currency)?)?;
    let total = &takings.total;
    let is_empty = total.sold.count + total.bought.count + total.listed.count + total.shelves.count == 0
        && total.expenses == crate::unit::Balance::ZERO;
    let notes = takings_notes(total, &currency);
    let notes = notes.iter().map(|note| desk_words(note)).chain([NO_TAX_ADVICE.to_owned()]);
    Ok(Figures {
        heading: takings_heading(&takings, &currency),
        is_empty,
        sums: sums(&takings, &currency),
        svg: takings_svg(&takings, &currency),
        tables: tables(&takings, &currency),
        goal: goal.map(|goal| goal_lines(&goal, &takings, &currency)).unwrap_or_default(),
        notes: notes.collect(),
    })
}

fn goal_lines(goal: &Goal, takings: &Takings, currency: &Currency) -> Vec<String> {
    goal_text(goal, takings, currency).lines().map(sentence).collect()
}

/// What most want to know, to be read at a glance.
fn sums(takings: &Takings, currency: &Currency) -> Vec<(&'static str, String)> {
    let wanted = [("sold#", "Sold"), ("revenue#", "Revenue"), ("expenses#", "Expenses"), ("profit#", "Profit")];
    let columns = earned_columns(currency);
    let sum = |(heading, name)| {
        columns.iter().find(|column| column.heading == heading).map(|column| (name, (column.cell)(&takings.total)))
    };
    wanted.into_iter().filter_map(sum).collect()
}

fn tables(takings: &Takings, currency: &Currency) -> Vec<Table> {
    let mut records = PeriodRecord::each(takings);
    if records.len() > 1 {
        records.push(PeriodRecord::total(takings));
    }
    let ages = age_columns();
    let age = |age| (age_text(age), ages.iter().map(|(_, cell)| cell(age, currency)).collect());
    let left = Table {
        title: "What is left, by age",
        first: "Age",
        heads: ages.iter().map(|(name, _)| *name).collect(),
        rows: takings.ages.iter().map(age).collect(),
    };
    vec![
        by_period("Earned", &records, &earned_columns(currency)),
        by_period("Bought, listed and on the shelves", &records, &stock_columns(currency)),
        left,
    ]
}

fn by_period(title: &'static str, records: &[PeriodRecord], columns: &[TakingsColumn<'_>]) -> Table {
    let row = |record: &PeriodRecord| {
        (record.name.clone(), columns.iter().map(|column| (column.cell)(&record.figures)).collect())
    };
    let heads = columns.iter().map(|column| column.heading.trim_end_matches('#')).collect();
    Table { title, first: "Period", heads, rows: records.iter().map(row).collect() }
}
