//! An alignment page for a printer, as a file.

use std::path::{Path, PathBuf};

use super::{Printer, Settings, print::shown};
use crate::{
    output::{DocumentInfo, FileError, OutputError, PendingFile, pdf},
    register::{Register, RunKind},
    sheet::{AlignError, Correction, Device, Paper, Sheet, SheetError, alignment_page},
};

/// How to write an alignment page.
#[derive(Debug, Clone)]
pub struct AlignOptions {
    /// The sheet whose labels are outlined, and whose paper is printed on.
    pub sheet: Sheet,
    /// As if nothing had been measured yet.
    pub uncorrected: bool,
    /// The file; else one named by the printer in the current folder.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
}

/// Why there is no page.
#[derive(Debug, thiserror::Error)]
pub enum AlignPageError {
    /// The sheet is too small.
    #[error(transparent)]
    Page(#[from] AlignError),
    /// The PDF can't be made.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// The file can't be put in place.
    #[error(transparent)]
    File(#[from] FileError),
}

/// Writes the page and gives its file.
///
/// # Errors
/// [`AlignPageError`]; no file is left then.
pub fn align(register: &Register, printer: &Printer, options: &AlignOptions) -> Result<PathBuf, AlignPageError> {
    let bytes = align_pdf(printer, &options.sheet, options.uncorrected)?;
    let target = options.out.clone().unwrap_or_else(|| PathBuf::from(format!("align-{}.pdf", printer.name)));
    put_in_place(register, &target, &bytes, options.force)?;
    Ok(shown(&target))
}

/// The page as the bytes of a PDF; `uncorrected` as if nothing had been measured yet.
///
/// # Errors
/// [`AlignPageError`].
pub fn align_pdf(printer: &Printer, sheet: &Sheet, uncorrected: bool) -> Result<Vec<u8>, AlignPageError> {
    let device = printer.device();
    let correction = if uncorrected { Correction::NONE } else { device.correction };
    let page = alignment_page(&printer.name, sheet, &Device { correction, ..device })?;
    let title = format!("Alignment of printer {}", printer.name);
    Ok(pdf(&[page], &DocumentInfo { title, language: "en".into() })?)
}

/// The sheet when none is named: that for tags; on a roll there is no place for the page.
///
/// # Errors
/// [`SheetError`] should the usual sheet be missing from the table.
pub fn usual_align_sheet(settings: &Settings) -> Result<Sheet, SheetError> {
    let sheet = settings.sheet_for(RunKind::Tags, None)?;
    let is_roll = sheet.paper == Paper::Roll;
    if is_roll { settings.sheet_for(RunKind::Tags, Some(settings.paper)) } else { Ok(sheet) }
}

fn put_in_place(register: &Register, target: &Path, bytes: &[u8], force: bool) -> Result<(), FileError> {
    let pending = PendingFile::new(target, force)?;
    if register.owns(&pending.target) {
        return Err(FileError::Register(pending.target));
    }
    pending.write(bytes)?;
    pending.put_in_place()
}
