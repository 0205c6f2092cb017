//! A list of orders into the register: the items on it are sold, all of them, or those of its good rows, or none.
//!
//! Start with [`draft_orders`], which changes nothing and tells what would be sold; [`OrderDraft::enter`] does it.
//! Rows that are on record are left out, so that files may overlap.

mod settle;

pub use settle::{DraftSale, KnownRow};

use std::path::{Path, PathBuf};

use jiff::civil::Date;

use super::{ImportError, ImportNote, Settings, import::write_refused};
use crate::{
    exchange::{
        Asked, CsvFile, DateOrder, Mapping, ORDERS, RefusedRow, day_part, mapping_key, read_orders, settle_dates,
    },
    output::sha256,
    register::{Item, NewSale, Register},
};
use settle::{Row, Settler};

/// What is done with rows that have no code, but a title.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ByTitle {
    /// They are refused, and what they may mean is told.
    Refused,
    /// Taken where just one item has that very title.
    Exact,
    /// Taken also where just one item has all of its words; somebody looks at each before anything is done.
    Shown,
}

/// How to import orders.
#[derive(Debug, Clone)]
pub struct OrderOptions {
    /// The file.
    pub file: PathBuf,
    /// Take the good rows and put the others into a file beside the input.
    pub skip_bad: bool,
    /// What the user says of its columns; remembered for its headings.
    pub columns: Vec<Asked>,
    /// How dates are read that could be two.
    pub dates: Option<DateOrder>,
    /// Whether that is remembered for its headings.
    pub remember_dates: bool,
    /// Rows without a code.
    pub by_title: ByTitle,
    /// The day of rows that have none.
    pub today: Date,
}

/// What would be sold.
#[derive(Debug)]
pub struct OrderDraft {
    /// How many rows the file has.
    pub rows: usize,
    /// What its columns are.
    pub mapping: Mapping,
    /// In which order dates are read that could be two.
    pub dates: Option<DateOrder>,
    /// What the user should know of how it was read.
    pub notes: Vec<ImportNote>,
    /// What would be sold, in the order of the file.
    pub sales: Vec<DraftSale>,
    /// Rows that are on record already.
    pub known: Vec<KnownRow>,
    /// The rows that are left out.
    pub refused: Vec<RefusedRow>,
    refused_csv: Vec<u8>,
    path: PathBuf,
}

/// What was sold and what was not.
#[derive(Debug)]
pub struct OrdersEntered {
    /// The items, in the order of the file.
    pub items: Vec<Item>,
    /// The file that the refused rows are in.
    pub refused_file: Option<PathBuf>,
}

/// Reads a file and tells what would be sold.
///
/// # Errors
/// [`ImportError`].
pub fn draft_orders(register: &Register, options: &OrderOptions) -> Result<OrderDraft, ImportError> {
    let path = options.file.as_path();
    let bytes = std::fs::read(path).map_err(|source| ImportError::Read { path: path.to_owned(), source })?;
    draft_orders_of(register, &bytes, options)
}

/// The same of a file that was read already; the one of `options` is its name.
///
/// # Errors
/// [`ImportError`], but for [`ImportError::Read`].
pub fn draft_orders_of(register: &Register, bytes: &[u8], options: &OrderOptions) -> Result<OrderDraft, ImportError> {
    let path = options.file.as_path();
    let file = CsvFile::read(bytes).map_err(|source| ImportError::File { path: path.to_owned(), source })?;
    let (rows, mapping) = (file.rows(), mapping(register, &file, options)?);
    let mut notes = ImportNote::of_memory(&mapping);
    let dates = date_order(&file, &mapping, options, &mut notes)?;
    let list = read_orders(file, mapping, &Settings::of(register)?.currency, dates);
    let mut settler = Settler::new(register, options.by_title, options.today);
    let list = list.settle(|line, row| settler.settle(line, &row))?;
    if !list.refused.is_empty() && (!options.skip_bad || list.good.is_empty()) {
        let (good, refused) = (list.good.len(), list.refused);
        return Err(ImportError::Rows { path: path.to_owned(), good, refused });
    }
    notes.extend(settler.undated.map(|line| ImportNote::Undated { line, day: options.today }));
    let refused_csv = if list.refused.is_empty() { Vec::new() } else { list.refused_csv() };
    let (mut sales, mut known) = (Vec::new(), Vec::new());
    for row in list.good {
        match row.value {
            Row::Sale(sale) => sales.push(*sale),
            Row::Known(row) => known.push(row),
        }
    }
    let (refused, mapping, path) = (list.refused, list.mapping, path.to_owned());
    Ok(OrderDraft { rows, mapping, dates, notes, sales, known, refused, refused_csv, path })
}

fn mapping(register: &Register, file: &CsvFile, options: &OrderOptions) -> Result<Mapping, ImportError> {
    let known = register.mapping(&mapping_key(&ORDERS, file.headings()))?;
    let mut mapping = Mapping::find(&ORDERS, file.headings(), &options.columns, known.as_deref())
        .map_err(|source| ImportError::Columns { path: options.file.clone(), source })?;
    if let Some(order) = options.dates.filter(|_| options.remember_dates) {
        mapping.remember_dates(order);
    }
    Ok(mapping)
}

/// As the user says, now or for these headings earlier; else as the file itself tells.
fn date_order(
    file: &CsvFile,
    mapping: &Mapping,
    options: &OrderOptions,
    notes: &mut Vec<ImportNote>,
) -> Result<Option<DateOrder>, ImportError> {
    let column = mapping.column("date").filter(|_| options.dates.is_none());
    let Some(column) = column else { return Ok(options.dates) };
    if let Some(order) = mapping.dates() {
        notes.push(ImportNote::DatesRemembered(order));
        return Ok(Some(order));
    }
    let cells = file.column(column).map(|(line, cell)| (line, day_part(cell)));
    let told = settle_dates(cells).map_err(|source| ImportError::Dates { path: options.file.clone(), source })?;
    notes.extend(told.clone().map(ImportNote::DatesTold));
    Ok(told.map(|proof| proof.order))
}

impl OrderDraft {
    /// The name of the file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Does it: all as one change, or nothing.
    ///
    /// # Errors
    /// [`ImportError`]; the register is as it was then.
    pub fn enter(self, register: &mut Register) -> Result<OrdersEntered, ImportError> {
        let refused_file =
            if self.refused.is_empty() { None } else { Some(write_refused(&self.path, &self.refused_csv)?) };
        match self.enter_rows(register) {
            Ok(items) => Ok(OrdersEntered { items, refused_file }),
            Err(fault) => {
                // Nothing was sold, so nothing was left out; a left-over would do no harm.
                let _ = refused_file.map(std::fs::remove_file);
                Err(fault)
            }
        }
    }

    /// Does it without a file for the refused rows, which whoever asks keeps from [`Self::refused_csv`]; gives the items,
    /// in the order of the file.
    ///
    /// # Errors
    /// [`ImportError`]; the register is as it was then.
    pub fn enter_rows(self, register: &mut Register) -> Result<Vec<Item>, ImportError> {
        let count = self.sales.len();
        let noun = if count == 1 { "sale" } else { "sales" };
        let what = format!("import {count} {noun} of {}", self.path.display());
        let items: Vec<Item> = self.sales.iter().map(|sale| sale.item.clone()).collect();
        let sales: Vec<NewSale> = self.sales.into_iter().map(|sale| sale.sale).collect();
        register.sell(&what, &sales, self.mapping.to_remember().as_ref())?;
        Ok(super::fresh(register, &items)?)
    }

    /// A text that is another one when anything else would be sold, is on record or is left out: it goes with the button
    /// that [`Self::enter_shown`] follows.
    #[must_use]
    pub fn fingerprint(&self) -> String {
        let sale = |sale: &DraftSale| format!("{:?}", (sale.item.name(), &sale.item.title, &sale.by_title, &sale.sale));
        let sales: Vec<String> = self.sales.iter().map(sale).collect();
        sha256(format!("{:?}", (sales, &self.known, &self.refused)).as_bytes())
    }

    /// [`Self::enter_rows`], but only what has been shown.
    ///
    /// # Errors
    /// [`ImportError::NotAsShown`] when the draft that was shown had another [`Self::fingerprint`].
    pub fn enter_shown(self, register: &mut Register, shown: &str) -> Result<Vec<Item>, ImportError> {
        if self.fingerprint() == shown { self.enter_rows(register) } else { Err(ImportError::NotAsShown) }
    }

    /// The refused rows as a file to mend and to import; nothing where none was refused.
    #[must_use]
    pub fn refused_csv(&self) -> &[u8] {
        &self.refused_csv
    }
}
