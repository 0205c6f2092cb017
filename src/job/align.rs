//! An alignment page for a printer, as a file.

use std::path::{Path, PathBuf};

use super::{Printer, print::shown};
use crate::{
    output::{DocumentInfo, FileError, OutputError, PendingFile, pdf},
    register::Register,
    sheet::{AlignError, Correction, Device, Sheet, alignment_page},
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
    let device = printer.device();
    let correction = if options.uncorrected { Correction::NONE } else { device.correction };
    let page = alignment_page(&printer.name, &options.sheet, &Device { correction, ..device })?;
    let title = format!("Alignment of printer {}", printer.name);
    let bytes = pdf(&[page], &DocumentInfo { title, language: "en".into() })?;
    let target = options.out.clone().unwrap_or_else(|| PathBuf::from(format!("align-{}.pdf", printer.name)));
    put_in_place(register, &target, &bytes, options.force)?;
    Ok(shown(&target))
}

fn put_in_place(register: &Register, target: &Path, bytes: &[u8], force: bool) -> Result<(), FileError> {
    let pending = PendingFile::new(target, force)?;
    if register.owns(&pending.target) {
        return Err(FileError::Register(pending.target));
    }
    pending.write(bytes)?;
    pending.put_in_place()
}
