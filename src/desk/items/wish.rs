//! What the user wants of a file, and what would come in then, or why nothing can.
//!
//! Start with [`Wish::new`], which reads what the page sends. Nothing is entered here.

use std::path::PathBuf;

use super::{
    super::{
        answer::Refusal,
        sent::Sent,
        table_file::{Columns, dates, fault_text},
        words::desk_words,
    },
    drafts::Upload,
};
use crate::{
    exchange::{DateOrderError, RefusedRow},
    job::{
        Draft, ImportError, ImportOptions, Lot, LotBy, Placement, Settings, bin_by_text, columns_of, draft_of,
        with_causes,
    },
    register::{Register, RegisterError},
    unit::Currency,
};

/// Names of what the page asks for, besides `c0`, `c1` … for the columns.
const OPTIONS: [&str; 7] = ["where", "bin", "lot", "by", "dates", "remember", "again"];

/// What the page asks for, without what else was sent.
pub(super) fn options_of(sent: &Sent) -> Sent {
    let is_column = |name: &str| name.strip_prefix('c').is_some_and(|at| at.parse::<usize>().is_ok());
    sent.those(|name, value| is_column(name) || OPTIONS.contains(&name) && !value.trim().is_empty())
}

/// Of a file of this name, with nothing said of it.
pub(super) fn named(file: &str) -> ImportOptions {
    ImportOptions { file: PathBuf::from(file), ..ImportOptions::default() }
}

/// What is wrong with a field of the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    pub field: &'static str,
    pub text: String,
}

/// What the user wants of a file.
#[derive(Debug)]
pub(super) struct Wish {
    pub columns: Columns,
    pub options: Result<ImportOptions, Fault>,
}

impl Wish {
    pub(super) fn new(register: &Register, upload: &Upload, sent: &Sent) -> Result<Self, Refusal> {
        let plain = named(&upload.name);
        let columns = Columns::new(columns_of(register, &upload.bytes, &plain)?, sent);
        let options = options(register, sent, &Settings::of(register)?.currency);
        let options = options.map(|options| ImportOptions { file: plain.file, columns: columns.asked(), ..options });
        Ok(Self { columns, options })
    }
}

fn options(register: &Register, sent: &Sent, currency: &Currency) -> Result<ImportOptions, Fault> {
    let fault = |field: &'static str, text: String| Fault { field, text };
    let (bin, placement) = match sent.one("where") {
        "bin" if sent.one("bin").is_empty() => return Err(fault("bin", "Type the bin that they go into.".into())),
        "bin" => {
            let bin = bin_by_text(register, sent.one("bin"));
            (Some(bin.map_err(|refused| fault("bin", desk_words(&with_causes(&refused))))?.code), Placement::BestFit)
        }
        "together" => (None, Placement::Together),
        "wait" => (None, Placement::Wait),
        _ => (None, Placement::BestFit),
    };
    let lot = Some(sent.one("lot")).filter(|lot| !lot.is_empty()).map(|lot| currency.parse(lot)).transpose();
    let lot = lot.map_err(|refused| fault("lot", desk_words(&refused.to_string())))?;
    let by = if sent.one("by") == "asking" { LotBy::Asking } else { LotBy::Even };
    let dates = dates(sent);
    Ok(ImportOptions {
        bin,
        placement,
        // A price is shared only when no row is left out of the sharing.
        skip_bad: lot.is_none(),
        again: !sent.one("again").is_empty(),
        dates,
        remember_dates: dates.is_some() && !sent.one("remember").is_empty(),
        lot: lot.map(|cost| Lot { cost, by }),
        ..ImportOptions::default()
    })
}

/// Why nothing can come in.
#[derive(Debug, Default)]
pub(super) struct ImportFault {
    pub text: String,
    pub refused: Vec<RefusedRow>,
    /// It was entered before.
    pub was_imported: bool,
}

/// A date that could be two, and those two.
pub(super) type Open = (String, String, String);

/// What would come in.
pub(super) fn drafted(
    register: &Register,
    upload: &Upload,
    options: &ImportOptions,
) -> (Result<Draft, ImportFault>, Option<Open>) {
    let fault = match draft_of(register, &upload.bytes, options) {
        Ok(draft) => return (Ok(draft), None),
        Err(fault) => fault,
    };
    let long = |date: jiff::civil::Date| date.strftime("%-d %B").to_string();
    let open = match &fault {
        ImportError::Dates { source: DateOrderError::Open { text, day_first, month_first, .. }, .. } => {
            Some((text.clone(), long(*day_first), long(*month_first)))
        }
        _ => None,
    };
    let was_imported = matches!(fault, ImportError::Register(RegisterError::ImportedBefore { .. }));
    (Err(ImportFault { was_imported, ..why(fault, options) }), open)
}

/// In words for the page, which shows the name of the file and the rows by itself.
fn why(fault: ImportError, options: &ImportOptions) -> ImportFault {
    match fault {
        ImportError::Rows { refused, good, .. } => {
            let text = match (good, &options.lot) {
                (0, _) => "No row is in order. Mend the file, and choose it again.",
                (_, Some(_)) => {
                    "A price for all is shared only when all rows are in order. Mend the bad lines, or leave the price out."
                }
                _ => "Some rows are not in order.",
            };
            ImportFault { text: text.into(), refused, was_imported: false }
        }
        other => ImportFault { text: fault_text(&other), ..ImportFault::default() },
    }
}
