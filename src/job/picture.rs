//! A finished PDF as pictures at a printer's own dots, for label printers that take pictures.

use std::path::{Path, PathBuf};

use crate::{
    output::{FileError, OutputError, PendingFile, page_count, png_1bit, rasterise},
    unit::Dpi,
};

/// Why there are no pictures.
#[derive(Debug, thiserror::Error)]
pub enum PictureError {
    /// The folder can't be made.
    #[error("the folder `{path}` can't be made; name another one")]
    Folder {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The PDF can't be drawn.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// A picture can't be put in place.
    #[error(transparent)]
    File(#[from] FileError),
}

/// Writes each page of a PDF as a picture, one pixel a dot, pure black and white: `STEM-01.png` and so on
/// in this folder, which is made when it is missing. None is put in place before all are written.
///
/// # Errors
/// [`PictureError`]; what is there is replaced with `force` only.
pub fn write_pngs(pdf: &[u8], folder: &Path, stem: &str, dpi: Dpi, force: bool) -> Result<Vec<PathBuf>, PictureError> {
    let pages = page_count(pdf)?;
    std::fs::create_dir_all(folder).map_err(|source| PictureError::Folder { path: folder.to_owned(), source })?;
    let digits = pages.to_string().len().max(2);
    let names: Vec<PathBuf> = (1..=pages).map(|page| folder.join(format!("{stem}-{page:0digits$}.png"))).collect();
    let pending: Vec<PendingFile> = names.iter().map(|name| PendingFile::new(name, force)).collect::<Result<_, _>>()?;
    let placed = write(pdf, &pending, dpi).and_then(|()| Ok(pending.iter().try_for_each(PendingFile::put_in_place)?));
    if placed.is_err() {
        pending.iter().for_each(PendingFile::discard);
    }
    placed.map(|()| names)
}

/// A page at a time: at 600 dpi one takes a good part of the memory.
fn write(pdf: &[u8], pending: &[PendingFile], dpi: Dpi) -> Result<(), PictureError> {
    for (page, file) in (1..).zip(pending) {
        file.write(&png_1bit(&rasterise(pdf, page, dpi, false)?, dpi)?)?;
    }
    Ok(())
}
