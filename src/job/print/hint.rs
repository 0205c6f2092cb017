//! What would do where a label can't be made.

use super::{OwnLook, PrintOptions};
use crate::{
    label::LabelError,
    sheet::{Sheet, SheetKind, sheets},
    symbol::SymbolKind,
};

/// The smallest label on the same paper that would do.
pub(super) fn hint(job: &OwnLook, options: &PrintOptions, error: &LabelError) -> String {
    match error {
        LabelError::TooSmall { .. } | LabelError::NoRoomForBoth { .. } | LabelError::NoRoom { .. } => {}
        LabelError::Symbol(_) => return "choose another --symbol".into(),
    }
    let fits = |sheet: &&Sheet| job.job.draw(&sheet.stock(options.device), options.brush(job)).is_ok();
    let area = |sheet: &&Sheet| sheet.label_width.0 * sheet.label_height.0;
    let is_cut = options.sheet.kind == SheetKind::Cut;
    let same_paper = sheets().iter().filter(|sheet| sheet.paper == options.sheet.paper && !is_cut);
    let smallest = same_paper.filter(fits).min_by(|a, b| area(a).total_cmp(&area(b)));
    let other =
        if matches!(error, LabelError::TooSmall { kind: SymbolKind::Code128, .. }) { ", or --symbol qr" } else { "" };
    match smallest {
        Some(sheet) => format!("the smallest that would do is --sheet {} ({}){other}", sheet.name, sheet.label()),
        None => format!("choose a larger label{other}"),
    }
}
