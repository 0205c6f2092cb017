//! What would do where a label can't be made.

use std::fmt;

use super::{OwnLook, PrintOptions};
use crate::{
    label::LabelError,
    sheet::{Sheet, SheetKind, sheets},
    symbol::SymbolKind,
};

/// What would do where a label can't be made.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hint {
    /// The smallest built-in sheet on the same paper whose labels would do.
    pub sheet: Option<Sheet>,
    /// Whether another sheet would do at all; else another symbol.
    pub is_size: bool,
    /// Whether a QR may fit.
    pub or_qr: bool,
}

impl fmt::Display for Hint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let other = if self.or_qr { ", or --symbol qr" } else { "" };
        match &self.sheet {
            _ if !self.is_size => f.write_str("choose another --symbol"),
            Some(sheet) => write!(f, "the smallest that would do is --sheet {} ({}){other}", sheet.name, sheet.label()),
            None => write!(f, "choose a larger label{other}"),
        }
    }
}

/// The smallest label on the same paper that would do.
pub(super) fn hint(job: &OwnLook, options: &PrintOptions, error: &LabelError) -> Hint {
    match error {
        LabelError::TooSmall { .. } | LabelError::NoRoomForBoth { .. } | LabelError::NoRoom { .. } => {}
        LabelError::Symbol(_) => return Hint::default(),
    }
    let fits = |sheet: &&Sheet| job.job.draw(&sheet.stock(options.device), options.brush(job)).is_ok();
    let area = |sheet: &&Sheet| sheet.label_width.0 * sheet.label_height.0;
    let is_cut = options.sheet.kind == SheetKind::Cut;
    let same_paper = sheets().iter().filter(|sheet| sheet.paper == options.sheet.paper && !is_cut);
    let smallest = same_paper.filter(fits).min_by(|a, b| area(a).total_cmp(&area(b)));
    let or_qr = matches!(error, LabelError::TooSmall { kind: SymbolKind::Code128, .. });
    Hint { sheet: smallest.cloned(), is_size: true, or_qr }
}
