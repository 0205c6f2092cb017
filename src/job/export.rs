//! Items, bins, moves and sales out to a file for a spreadsheet or another program.

use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

use super::Settings;
use crate::{
    exchange::{
        BIN_COLUMNS, CODE_CHANGE_COLUMNS, ColumnError, Columns, ITEM_COLUMNS, LISTING_COLUMNS, MOVE_COLUMNS, RowFormat,
        RowWriter, SALE_COLUMNS, Separator, chosen,
    },
    output::{FileError, PendingFile},
    register::{ItemFilter, Register, RegisterError, Status},
};

/// What goes out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Exported {
    /// Items, as they were entered.
    Items(ItemFilter),
    /// Bins, by code.
    Bins,
    /// What came into bins and left them, as it happened.
    Moves,
    /// Sales, as they were entered.
    Sales,
    /// Titles and codes of items in bins that are not sold; with `unlisted` of those that are not listed yet.
    ListingCodes {
        /// Whether those that are listed are left out.
        unlisted: bool,
    },
    /// Listed items whose listing shows another code than they have now.
    CodeChanges,
}

impl Exported {
    /// The name of its list in JSON.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::Items(_) | Self::ListingCodes { .. } | Self::CodeChanges => "items",
            Self::Bins => "bins",
            Self::Moves => "moves",
            Self::Sales => "sales",
        }
    }
}

/// How it goes out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ExportOptions {
    /// The columns, by their names; all when there are none.
    pub columns: Vec<String>,
    /// What parts the fields of CSV.
    pub separator: Separator,
    /// Whether CSV begins with a byte order mark.
    pub mark: bool,
}

/// Why nothing went out.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The name of the file does not say what it is to be.
    #[error("`{}` ends in neither .csv nor .json; give it one of these ends, or - to see it here", .0.display())]
    Ending(PathBuf),
    /// Something of that name is there already.
    #[error("`{}` is there already; give another name, or --force to replace it", .0.display())]
    Exists(PathBuf),
    /// The file is the register.
    #[error("`{}` is the register; give another name", .0.display())]
    Register(PathBuf),
    /// No such column.
    #[error(transparent)]
    Column(#[from] ColumnError),
    /// The file can't be written.
    #[error(transparent)]
    File(FileError),
    /// A stream can't be written to.
    #[error(transparent)]
    Stream(io::Error),
    /// The register refused.
    #[error(transparent)]
    Sql(#[from] RegisterError),
}

impl From<FileError> for ExportError {
    fn from(fault: FileError) -> Self {
        match fault {
            FileError::Exists(path) => Self::Exists(path),
            FileError::Register(path) => Self::Register(path),
            other => Self::File(other),
        }
    }
}

/// Puts it into a file, CSV or JSON by the end of its name, and gives the number of rows. The file is there as a
/// whole or not at all.
///
/// # Errors
/// [`ExportError`]; a file that was there is as it was then.
pub fn export(
    register: &Register,
    exported: &Exported,
    options: &ExportOptions,
    target: &Path,
    replace: bool,
) -> Result<usize, ExportError> {
    let format = format_of(target, exported, options)?;
    write_file(register, target, replace, |out| write(register, exported, options, format, out))
}

/// How it goes to a stream.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stream {
    /// As CSV.
    Csv,
    /// As a JSON document.
    Json,
    /// Plain lines to paste, with tabs between cells.
    Lines,
}

/// Writes it to a stream, and gives the number of rows.
///
/// # Errors
/// [`ExportError`].
pub fn export_to(
    register: &Register,
    exported: &Exported,
    options: &ExportOptions,
    stream: Stream,
    out: &mut dyn Write,
) -> Result<usize, ExportError> {
    let format = match stream {
        Stream::Csv => csv(options),
        Stream::Json => RowFormat::Json { name: exported.name(), lines: false },
        Stream::Lines => RowFormat::Lines,
    };
    write(register, exported, options, format, out)
}

/// Puts a file that is not the register in place as a whole, filled by `fill`.
pub(super) fn write_file<T>(
    register: &Register,
    target: &Path,
    replace: bool,
    fill: impl FnOnce(&mut dyn Write) -> Result<T, ExportError>,
) -> Result<T, ExportError> {
    if register.owns(target) {
        return Err(ExportError::Register(target.to_owned()));
    }
    let pending = PendingFile::new(target, replace)?;
    let mut filled = None;
    pending.write_with(|out| {
        filled = Some(fill(out).map_err(|fault| in_file(fault, &pending))?);
        Ok::<_, ExportError>(())
    })?;
    pending.put_in_place()?;
    // `write_with` has called it once.
    filled.ok_or_else(|| ExportError::Ending(target.to_owned()))
}

fn in_file(fault: ExportError, file: &PendingFile) -> ExportError {
    match fault {
        ExportError::Stream(source) => file.fault(source).into(),
        other => other,
    }
}

fn csv(options: &ExportOptions) -> RowFormat {
    RowFormat::Csv { separator: options.separator, mark: options.mark }
}

fn format_of(target: &Path, exported: &Exported, options: &ExportOptions) -> Result<RowFormat, ExportError> {
    let end = target.extension().map(|end| end.to_string_lossy().to_lowercase());
    match end.as_deref() {
        Some("csv") => Ok(csv(options)),
        Some("json") => Ok(RowFormat::Json { name: exported.name(), lines: true }),
        _ => Err(ExportError::Ending(target.to_owned())),
    }
}

fn write(
    register: &Register,
    exported: &Exported,
    options: &ExportOptions,
    format: RowFormat,
    out: &mut dyn Write,
) -> Result<usize, ExportError> {
    let sink = Sink { format, options, currency: Settings::of(register)?.currency, out };
    match exported {
        Exported::Items(filter) => sink.fill(ITEM_COLUMNS, |row| register.each_item(filter, row)),
        Exported::ListingCodes { unlisted } => {
            let states = if *unlisted { vec![Status::Held] } else { vec![Status::Held, Status::Listed] };
            let filter = ItemFilter { states, ..ItemFilter::default() };
            sink.fill(LISTING_COLUMNS, |row| register.each_item(&filter, row))
        }
        Exported::CodeChanges => {
            let listed = ItemFilter { states: vec![Status::Listed], ..ItemFilter::default() };
            sink.fill(CODE_CHANGE_COLUMNS, |row| {
                let mut count = 0;
                register.each_item(&listed, |record| {
                    let shows_another = record.item.listing_code.is_some();
                    count += usize::from(shows_another);
                    if shows_another { row(record) } else { Ok(()) }
                })?;
                Ok(count)
            })
        }
        Exported::Bins => sink.fill(BIN_COLUMNS, |row| {
            let bins = register.bins(None)?;
            bins.iter().try_for_each(row).map(|()| bins.len())
        }),
        Exported::Moves => sink.fill(MOVE_COLUMNS, |row| register.each_move(row)),
        Exported::Sales => sink.fill(SALE_COLUMNS, |row| register.each_sale(row)),
    }
}

struct Sink<'a> {
    format: RowFormat,
    options: &'a ExportOptions,
    currency: crate::unit::Currency,
    out: &'a mut dyn Write,
}

impl Sink<'_> {
    /// Writes what `each` hands out, and gives what it counts.
    fn fill<R>(
        self,
        columns: &'static Columns<R>,
        each: impl FnOnce(&mut dyn FnMut(&R) -> Result<(), ExportError>) -> Result<usize, ExportError>,
    ) -> Result<usize, ExportError> {
        let columns = chosen(columns, &self.options.columns)?;
        let mut writer =
            RowWriter::begin(self.out, self.format, columns, self.currency).map_err(ExportError::Stream)?;
        let count = each(&mut |record| writer.row(record).map_err(ExportError::Stream))?;
        writer.end().map_err(ExportError::Stream)?;
        Ok(count)
    }
}
