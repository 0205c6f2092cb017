//! Bars in the terminal.

use super::width::wrapped;
use crate::{
    exchange::PeriodRecord,
    unit::{Balance, Currency},
};

/// More lines would push the figures off the screen.
const MOST: usize = 26;
/// The longest bar.
const LONGEST: usize = 60;

/// A line for each period: its revenue, and how much of it is profit, or how much is lost. Nothing where there is
/// nothing to compare.
pub(super) fn chart(records: &[PeriodRecord], currency: &Currency, width: usize) -> String {
    let shown = &records[records.len().saturating_sub(MOST)..];
    let most = shown.iter().map(|record| longest(record).minor()).max().unwrap_or(0);
    if shown.len() < 2 || most == 0 {
        return String::new();
    }
    let name = shown.iter().map(|record| record.name.len()).max().unwrap_or(0);
    let said: Vec<String> = shown.iter().map(|record| words(record, currency)).collect();
    let words = said.iter().map(String::len).max().unwrap_or(0);
    let room = width.saturating_sub(name + words + 4).clamp(4, LONGEST);
    let lines = shown.iter().zip(&said).map(|(record, said)| {
        let bar = bar(record, most, room);
        format!("{:name$}  {bar}{}{said}", record.name, if bar.is_empty() { "" } else { "  " })
    });
    let earlier = if records.len() > MOST { format!("the last {MOST} periods:\n") } else { String::new() };
    let legend = wrapped("█ profit, ░ the rest of the revenue, ▒ loss", width);
    format!("{earlier}{}\n{legend}", lines.collect::<Vec<_>>().join("\n"))
}

/// `12.50 of 60.00`
fn words(record: &PeriodRecord, currency: &Currency) -> String {
    let figures = &record.figures;
    if figures.sold.count == 0 && figures.profit == Balance::ZERO {
        return "-".into();
    }
    let [profit, revenue] = [figures.profit, figures.sold.amount].map(|sum| currency.format_balance(sum));
    format!("{profit} of {revenue}")
}

fn longest(record: &PeriodRecord) -> Balance {
    let profit = record.figures.profit;
    record.figures.sold.amount.max(if profit.is_negative() { -profit } else { profit })
}

fn bar(record: &PeriodRecord, most: i128, room: usize) -> String {
    let cells = |balance: Balance| {
        let cells = balance.times(i128::try_from(room).unwrap_or(1), most).map_or(0, Balance::minor);
        let cells = usize::try_from(cells.max(0)).unwrap_or(0);
        if balance > Balance::ZERO { cells.max(1) } else { cells }
    };
    let (profit, revenue) = (record.figures.profit, record.figures.sold.amount);
    let (mark, part) = if profit.is_negative() { ("▒", cells(-profit)) } else { ("█", cells(profit)) };
    format!("{}{}", mark.repeat(part), "░".repeat(cells(revenue).saturating_sub(part)))
}
