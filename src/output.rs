//! Pages to PDF, and the finished PDF to pixels and to a file.
//!
//! Start with [`pdf`]; [`Pixels`] are made from its bytes, so that what is looked at or read back is
//! what is printed; [`PendingFile`] puts the bytes in place as a whole or not at all.
//! Nothing here checks whether symbols can be read.

mod content;
mod file;
mod font_subset;
mod glyph_codes;
mod numbers;
mod path;
mod pdf;
mod pixels;

pub use file::{FileError, PendingFile, sha256};
pub use pdf::{DocumentInfo, OutputError, pdf, pdf_uncompressed};
pub use pixels::{OpenPdf, Pixels, page_count, png_1bit, rasterise};
