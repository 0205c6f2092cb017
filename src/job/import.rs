//! A buy list from a spreadsheet into the register: all of it, or its good rows, or nothing.

use std::{
    io,
    path::{Path, PathBuf},
};

use super::Settings;
use crate::{
    code::BinCode,
    exchange::{BUYS, BuyRow, CsvError, CsvFile, Mapping, MappingError, RefusedRow, Rows, mapping_key, read_buys},
    output::{FileError, PendingFile, sha256},
    register::{Item, NewImport, NewItem, Register, RegisterError},
};

/// How to import.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportOptions {
    /// The file.
    pub file: PathBuf,
    /// The bin that all items go into; without one they wait.
    pub bin: Option<BinCode>,
    /// Take the good rows and put the others into a file beside the input.
    pub skip_bad: bool,
    /// Take a file that was imported before.
    pub again: bool,
}

/// What came in and what did not.
#[derive(Debug)]
pub struct Imported {
    /// The new items, in the order of the file.
    pub items: Vec<Item>,
    /// The rows that were left out.
    pub refused: Vec<RefusedRow>,
    /// Headings of columns that were not read.
    pub unread: Vec<String>,
    /// The file that the refused rows are in.
    pub refused_file: Option<PathBuf>,
}

/// Why nothing came in.
#[derive(Debug, thiserror::Error)]
pub enum ImportError {
    /// The file can't be read.
    #[error("`{path}` can't be read; check the name and that it is closed in other programs")]
    Read {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// The file as a whole makes no sense.
    #[error("`{path}`: {source}")]
    File {
        /// Which.
        path: PathBuf,
        /// What is wrong.
        source: CsvError,
    },
    /// It can't be told what its columns are.
    #[error("`{path}`: {source}")]
    Columns {
        /// Which.
        path: PathBuf,
        /// Why.
        source: MappingError,
    },
    /// Rows are wrong, and all or nothing was asked for.
    #[error("{}", refused_text(path, *good, refused))]
    Rows {
        /// The file.
        path: PathBuf,
        /// How many rows are in order.
        good: usize,
        /// The rows.
        refused: Vec<RefusedRow>,
    },
    /// The file for the refused rows can't be written.
    #[error(transparent)]
    Refused(#[from] FileError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn refused_text(path: &Path, good: usize, refused: &[RefusedRow]) -> String {
    let rows = refused.iter().map(|row| format!("\n  {}", row_text(path, row))).collect::<String>();
    let count = if refused.len() == 1 { "1 row is".to_owned() } else { format!("{} rows are", refused.len()) };
    let others = if good == 0 {
        "mend the file and import it again"
    } else {
        "mend the file, or take the other rows with --skip-bad"
    };
    format!("nothing was imported, {count} wrong; {others}{rows}")
}

/// A refused row as `FILE:LINE:COLUMN: reason`.
#[must_use]
pub fn row_text(path: &Path, row: &RefusedRow) -> String {
    let column = row.column.map(|column| format!(":{column}")).unwrap_or_default();
    format!("{}:{}{column}: {}", path.display(), row.line, row.reason)
}

/// Imports a buy list.
///
/// # Errors
/// [`ImportError`]; the register is as it was then.
pub fn import(register: &mut Register, options: &ImportOptions) -> Result<Imported, ImportError> {
    let path = &options.file;
    let bytes = std::fs::read(path).map_err(|source| ImportError::Read { path: path.clone(), source })?;
    let currency = Settings::of(register)?.currency;
    options.bin.map_or(Ok(()), |bin| register.bin(bin).map(drop))?;
    let file = CsvFile::read(&bytes).map_err(|source| ImportError::File { path: path.clone(), source })?;
    let known = register.mapping(&mapping_key(&BUYS, file.headings()))?;
    let mapping = Mapping::find(&BUYS, file.headings(), &[], known.as_deref())
        .map_err(|source| ImportError::Columns { path: path.clone(), source })?;
    let list: Rows<BuyRow> = read_buys(file, mapping, &currency, None);
    if !list.refused.is_empty() && (!options.skip_bad || list.good.is_empty()) {
        return Err(ImportError::Rows { path: path.clone(), good: list.good.len(), refused: list.refused });
    }
    let refused_file = if list.refused.is_empty() { None } else { Some(write_refused(path, &list.refused_csv())?) };
    let unread = list.mapping.unread();
    let items: Vec<NewItem> = list.good.into_iter().filter_map(|row| new_item(row.value, options.bin)).collect();
    let record = NewImport { file: path.display().to_string(), sha256: sha256(&bytes), again: options.again };
    match register.add_items(&items, Some(&record)) {
        Ok(items) => Ok(Imported { items, refused: list.refused, unread, refused_file }),
        Err(fault) => {
            // Nothing came in, so nothing was left out; a left-over would do no harm.
            let _ = refused_file.map(std::fs::remove_file);
            Err(fault.into())
        }
    }
}

fn new_item(row: BuyRow, bin: Option<BinCode>) -> Option<NewItem> {
    Some(NewItem { cost: row.cost, asking: row.asking, bought: row.bought, bin, ..NewItem::new(row.title?) })
}

/// Puts the refused rows beside the input, under the first free name, so that no earlier one is lost.
fn write_refused(input: &Path, csv: &[u8]) -> Result<PathBuf, FileError> {
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
