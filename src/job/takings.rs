//! What was earned, by weeks or months, and how far a goal is.

use std::{io::Write, path::PathBuf};

use jiff::civil::{Date, date};

use super::{
    Settings,
    export::{ExportError, write_file},
};
use crate::{
    exchange::{PERIOD_COLUMNS, PeriodRecord, RowFormat, RowWriter, Separator, takings_svg},
    plan::{Goal, GoalError, Goods, Ledger, Per, PeriodError, Periods, Refunded, Sold, Takings},
    register::{Register, RegisterError, StockRecord},
    unit::{Currency, Money},
};

/// Of which days, and by what.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TakingsOptions {
    /// From this day; else the first day of the year, or the first in it of which anything is known.
    pub from: Option<Date>,
    /// To this day; else today.
    pub to: Option<Date>,
    /// By weeks or months; else by what suits the span.
    pub per: Option<Per>,
    /// A profit that is wanted by a day.
    pub goal: Option<(Money, Date)>,
}

/// Why there are no figures.
#[derive(Debug, thiserror::Error)]
pub enum TakingsError {
    /// The days make no sense.
    #[error(transparent)]
    Period(#[from] PeriodError),
    /// The goal makes no sense.
    #[error(transparent)]
    Goal(#[from] GoalError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

/// The figures, and where the goal stands if there is one.
///
/// # Errors
/// [`TakingsError`].
pub fn takings(register: &Register, options: &TakingsOptions) -> Result<(Takings, Option<Goal>), TakingsError> {
    let takings = register.at_one_moment(|register| gather(register, options))?;
    let (from, to) = takings.periods.from().zip(takings.periods.to()).unwrap_or((Date::MIN, Date::MAX));
    let goal = options.goal.map(|(goal, by)| Goal::new(goal, by, takings.total.profit, from, to)).transpose()?;
    Ok((takings, goal))
}

fn gather(register: &Register, options: &TakingsOptions) -> Result<Takings, TakingsError> {
    let to = options.to.unwrap_or_else(|| jiff::ZonedDateTime::now().date());
    let from = options.from.map_or_else(|| usual_start(register, to), Ok)?;
    let mut ledger = Ledger::new(Periods::between(from, to, options.per)?);
    for expense in register.expenses(Some(from), Some(to))? {
        ledger.expense(expense.day, expense.amount);
    }
    for refund in register.refunds()? {
        let (day, amount, postage, is_known) = (refund.day, refund.amount, refund.postage, refund.is_known);
        ledger.refund(Refunded { day, amount, postage, is_known });
    }
    let mut sales = Vec::new();
    register.each_stock(|stock| {
        sales.clear();
        sales.extend(stock.sales.iter().map(|sale| Sold {
            day: sale.day,
            price: sale.price,
            fees: sale.fees,
            postage: sale.postage,
            listed: sale.listed,
            returned: sale.returned,
        }));
        ledger.item(goods(stock), &sales);
    })?;
    Ok(ledger.finish())
}

fn goods(stock: &StockRecord) -> Goods {
    Goods { came: stock.came, cost: stock.cost, asking: stock.asking, listed: stock.listed, gone: stock.gone }
}

fn usual_start(register: &Register, to: Date) -> Result<Date, RegisterError> {
    let year = date(to.year(), 1, 1);
    Ok(register.first_day()?.unwrap_or(to).clamp(year, to))
}

/// What figures are put into a file as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TakingsFile {
    /// The figures of each period and the total, as CSV.
    Csv {
        /// Whether it begins with a byte order mark.
        mark: bool,
    },
    /// A picture of revenue and profit.
    Svg,
}

/// Puts figures into files.
///
/// # Errors
/// [`ExportError`]; a file that was there is as it was then.
pub fn write_takings(
    register: &Register,
    takings: &Takings,
    files: &[(PathBuf, TakingsFile)],
    replace: bool,
) -> Result<(), ExportError> {
    let currency = Settings::of(register)?.currency;
    for (path, form) in files {
        write_file(register, path, replace, |out| match form {
            TakingsFile::Svg => out.write_all(takings_svg(takings, &currency).as_bytes()).map_err(ExportError::Stream),
            TakingsFile::Csv { mark } => csv(takings, *mark, &currency, out),
        })?;
    }
    Ok(())
}

/// Writes the figures of each period and the total to a stream as CSV, with a byte order mark if `mark`.
///
/// # Errors
/// [`ExportError`].
pub fn takings_csv(register: &Register, takings: &Takings, mark: bool, out: &mut dyn Write) -> Result<(), ExportError> {
    csv(takings, mark, &Settings::of(register)?.currency, out)
}

fn csv(takings: &Takings, mark: bool, currency: &Currency, out: &mut dyn Write) -> Result<(), ExportError> {
    let format = RowFormat::Csv { separator: Separator::Comma, mark };
    let columns = PERIOD_COLUMNS.iter().collect();
    let mut writer = RowWriter::begin(out, format, columns, currency.clone()).map_err(ExportError::Stream)?;
    let records = PeriodRecord::each(takings).into_iter().chain([PeriodRecord::total(takings)]);
    for record in records {
        writer.row(&record).map_err(ExportError::Stream)?;
    }
    writer.end().map_err(ExportError::Stream)
}
