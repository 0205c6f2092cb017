//! A list of items from a spreadsheet into the register: all of it, or its good rows, or nothing.
//!
//! Start with [`draft`], which changes nothing and tells what would come in; [`Draft::enter`] does it.

mod columns;
mod error;
mod lot;
mod placing;
mod settle;

pub use columns::{FileColumn, FileColumns, columns_of};
pub use error::{ImportError, ImportNote, row_text};
pub use lot::{Lot, LotBy, LotError};
pub use placing::{PlacedBin, Placement, Placing, Waiting};

use std::{
    ops::ControlFlow,
    path::{Path, PathBuf},
};

use super::{Progress, Settings};
use crate::{
    code::BinCode,
    exchange::{Asked, BUYS, CsvFile, DateOrder, Mapping, RefusedRow, Rows, mapping_key, read_buys, settle_dates},
    output::{FileError, PendingFile, sha256},
    register::{Batch, BulkEdit, Edit, Item, ItemChange, NewImport, NewItem, Register},
};
use placing::place;
use settle::{Row, Settler};

/// How to import.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ImportOptions {
    /// The file; only its name where its bytes are given.
    pub file: PathBuf,
    /// The bin that new items go into whose row names none; without one they go where they fit if a bin has a volume.
    pub bin: Option<BinCode>,
    /// What is done with new items without a bin.
    pub placement: Placement,
    /// Take the good rows and put the others into a file beside the input.
    pub skip_bad: bool,
    /// Take a file that was imported before.
    pub again: bool,
    /// What the user says of its columns; remembered for its headings.
    pub columns: Vec<Asked>,
    /// How dates are read that could be two.
    pub dates: Option<DateOrder>,
    /// Whether that is remembered for its headings.
    pub remember_dates: bool,
    /// A price to be shared by the new items without one of their own.
    pub lot: Option<Lot>,
}

/// What would come in.
#[derive(Debug)]
pub struct Draft {
    /// How many rows the file has.
    pub rows: usize,
    /// What parts its fields.
    pub delimiter: char,
    /// What its columns are.
    pub mapping: Mapping,
    /// In which order dates are read that could be two.
    pub dates: Option<DateOrder>,
    /// What the user should know of how it was read.
    pub notes: Vec<ImportNote>,
    /// The items that would be new, in the order of the file.
    pub new: Vec<NewItem>,
    /// Those that would change.
    pub changes: Vec<ItemChange>,
    /// How many rows say what the register has.
    pub unchanged: usize,
    /// Where new items go that no row names a bin for, if that is decided here.
    pub placing: Option<Placing>,
    /// The rows that are left out.
    pub refused: Vec<RefusedRow>,
    refused_csv: Vec<u8>,
    path: PathBuf,
    import: NewImport,
}

/// What came in and what did not.
#[derive(Debug)]
pub struct Imported {
    /// The new items, in the order of the file.
    pub items: Vec<Item>,
    /// The items that were changed.
    pub changed: Vec<Item>,
    /// How many rows said what the register had.
    pub unchanged: usize,
    /// The rows that were left out.
    pub refused: Vec<RefusedRow>,
    /// The file that the refused rows are in.
    pub refused_file: Option<PathBuf>,
}

/// Reads a file and tells what would come in.
///
/// # Errors
/// [`ImportError`].
pub fn draft(register: &Register, options: &ImportOptions) -> Result<Draft, ImportError> {
    let path = options.file.as_path();
    let bytes = std::fs::read(path).map_err(|source| ImportError::Read { path: path.to_owned(), source })?;
    draft_of(register, &bytes, options)
}

/// The same of a file that was read already; the one of `options` is its name.
///
/// # Errors
/// [`ImportError`], but for [`ImportError::Read`].
pub fn draft_of(register: &Register, bytes: &[u8], options: &ImportOptions) -> Result<Draft, ImportError> {
    let path = options.file.as_path();
    let file = CsvFile::read(bytes).map_err(|source| ImportError::File { path: path.to_owned(), source })?;
    let import = NewImport { file: path.display().to_string(), sha256: sha256(bytes), again: options.again };
    let mapping = mapping(register, &file, options)?;
    let mut draft = Draft::new(&file, mapping, import, path);
    draft.dates = draft.date_order(&file, options)?;
    let list = draft.checked(register, file, options)?;
    let lines = draft.take(list);
    options.lot.map_or(Ok(()), |lot| lot.share(&mut draft.new, &lines))?;
    draft.placing = place(register, options, &mut draft.new, &draft.changes)?;
    Ok(draft)
}

fn mapping(register: &Register, file: &CsvFile, options: &ImportOptions) -> Result<Mapping, ImportError> {
    let known = register.mapping(&mapping_key(&BUYS, file.headings()))?;
    let mut mapping = Mapping::find(&BUYS, file.headings(), &options.columns, known.as_deref())
        .map_err(|source| ImportError::Columns { path: options.file.clone(), source })?;
    if let Some(order) = options.dates.filter(|_| options.remember_dates) {
        mapping.remember_dates(order);
    }
    Ok(mapping)
}

/// What changes of an item, in words: `title`, `size or weight`.
#[must_use]
pub fn changed_words(change: &ItemChange) -> Vec<&'static str> {
    let edit = &change.edit;
    let parts = [
        (edit.title.is_some(), "title"),
        (edit.cost != Edit::Keep, "cost"),
        (edit.asking != Edit::Keep, "asking"),
        (edit.bought != Edit::Keep, "bought"),
        (edit.note != Edit::Keep, "note"),
        (edit.bulk != BulkEdit::default(), "size or weight"),
        (change.bin.is_some(), "bin"),
        (!change.old.is_empty(), "old code"),
    ];
    parts.iter().filter(|(is, _)| *is).map(|(_, name)| *name).collect()
}

impl Draft {
    /// Nothing would come in yet.
    fn new(file: &CsvFile, mapping: Mapping, import: NewImport, path: &Path) -> Self {
        Self {
            rows: file.rows(),
            delimiter: file.delimiter(),
            notes: ImportNote::of_memory(&mapping),
            mapping,
            dates: None,
            new: Vec::new(),
            changes: Vec::new(),
            unchanged: 0,
            placing: None,
            refused: Vec::new(),
            refused_csv: Vec::new(),
            path: path.to_owned(),
            import,
        }
    }

    /// As the user says, now or for these headings earlier; else as the file itself tells.
    fn date_order(&mut self, file: &CsvFile, options: &ImportOptions) -> Result<Option<DateOrder>, ImportError> {
        let Some(column) = self.mapping.column("bought") else { return Ok(options.dates) };
        if options.dates.is_some() {
            return Ok(options.dates);
        }
        if let Some(order) = self.mapping.dates() {
            self.notes.push(ImportNote::DatesRemembered(order));
            return Ok(Some(order));
        }
        let told = settle_dates(file.column(column))
            .map_err(|source| ImportError::Dates { path: self.path.clone(), source })?;
        self.notes.extend(told.clone().map(ImportNote::DatesTold));
        Ok(told.map(|proof| proof.order))
    }

    /// The rows as they would come in; without `skip_bad` all of them must be in order.
    fn checked(
        &mut self,
        register: &Register,
        file: CsvFile,
        options: &ImportOptions,
    ) -> Result<Rows<Row>, ImportError> {
        let currency = Settings::of(register)?.currency;
        let list = read_buys(file, self.mapping.clone(), &currency, self.dates);
        // Else its labels from before would be said to clash with themselves.
        if list.good.iter().any(|row| row.value.code.is_none()) {
            register.check_import(&self.import)?;
        }
        let mut settler = Settler::new(register, &self.mapping, options.bin)?;
        let list = list.settle(|line, row| settler.settle(line, row))?;
        self.notes.append(&mut settler.notes);
        if !list.refused.is_empty() && (!options.skip_bad || list.good.is_empty()) {
            let (good, refused) = (list.good.len(), list.refused);
            return Err(ImportError::Rows { path: self.path.clone(), good, refused });
        }
        Ok(list)
    }

    /// Takes the rows over; gives the lines of the new items.
    fn take(&mut self, list: Rows<Row>) -> Vec<u64> {
        if !list.refused.is_empty() {
            self.refused_csv = list.refused_csv();
        }
        self.refused = list.refused;
        let mut lines = Vec::with_capacity(list.good.len());
        for row in list.good {
            match row.value {
                Row::New(item) => {
                    lines.push(row.line);
                    self.new.push(*item);
                }
                Row::Change(change) => self.changes.push(*change),
                Row::Same => self.unchanged += 1,
            }
        }
        lines
    }

    /// The name of the file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Does it: all as one change, or nothing.
    ///
    /// # Errors
    /// [`ImportError`]; the register is as it was then.
    pub fn enter(self, register: &mut Register) -> Result<Imported, ImportError> {
        let refused_file =
            if self.refused.is_empty() { None } else { Some(write_refused(&self.path, &self.refused_csv)?) };
        match self.enter_rows(register, &()) {
            Ok(imported) => Ok(Imported { refused_file, ..imported }),
            Err(fault) => {
                // Nothing came in, so nothing was left out; a left-over would do no harm.
                let _ = refused_file.map(std::fs::remove_file);
                Err(fault)
            }
        }
    }

    /// Does it without a file for the refused rows, which whoever asks keeps from [`Self::refused_csv`]. Cancelled,
    /// nothing comes in.
    ///
    /// # Errors
    /// [`ImportError`]; the register is as it was then.
    pub fn enter_rows(self, register: &mut Register, progress: &dyn Progress) -> Result<Imported, ImportError> {
        let import = self.record();
        let batch = Batch { new: self.new, changes: self.changes, import, mapping: self.mapping.to_remember() };
        progress.begin(batch.new.len() + batch.changes.len());
        let items = register.enter_watched(&batch, &mut || {
            progress.more(1);
            if progress.is_cancelled() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
        })?;
        let changed: Vec<Item> = batch.changes.into_iter().map(|change| change.item).collect();
        let changed = super::fresh(register, &changed)?;
        let (unchanged, refused) = (self.unchanged, self.refused);
        Ok(Imported { items, changed, unchanged, refused, refused_file: None })
    }

    /// The refused rows as a file to mend and to import; nothing where none was refused.
    #[must_use]
    pub fn refused_csv(&self) -> &[u8] {
        &self.refused_csv
    }

    /// A file that brings nothing new may come in as often as it likes.
    fn record(&self) -> Option<NewImport> {
        (!self.new.is_empty()).then(|| self.import.clone())
    }
}

/// Imports a list of items.
///
/// # Errors
/// [`ImportError`]; the register is as it was then.
pub fn import(register: &mut Register, options: &ImportOptions) -> Result<Imported, ImportError> {
    draft(register, options)?.enter(register)
}

/// Puts the refused rows beside the input, under the first free name, so that no earlier one is lost.
pub(super) fn write_refused(input: &Path, csv: &[u8]) -> Result<PathBuf, FileError> {
    let stem = input.file_stem().unwrap_or_default().to_string_lossy();
    let name = |number: u32| match number {
        1 => format!("{stem}.refused.csv"),
        number => format!("{stem}.refused-{number}.csv"),
    };
    let free = (1..1000).map(|number| input.with_file_name(name(number))).find(|target| !target.exists());
    let target = free.unwrap_or_else(|| input.with_file_name(name(1)));
    let pending = PendingFile::new(&target, false)?;
    pending.write(csv)?;
    pending.put_in_place()?;
    Ok(target)
}
