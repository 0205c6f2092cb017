//! A QR code as a picture on a page: a link that a phone follows.

use crate::symbol::{Symbol, SymbolError};

/// The QR of a text as SVG, a unit a module, with its quiet zone (ISO/IEC 18004: 4 modules).
pub(super) fn qr_svg(text: &str) -> Result<String, SymbolError> {
    let symbol = Symbol::qr(text)?;
    let Symbol::Matrix(matrix) = &symbol else { return Ok(String::new()) };
    let (quiet, whole) = (symbol.quiet_modules() as usize, symbol.modules_with_quiet());
    let at = (0..matrix.side()).flat_map(|row| (0..matrix.side()).map(move |column| (row, column)));
    let dark = at.filter(|(row, column)| matrix.is_dark(*column, *row));
    let path: String = dark.map(|(row, column)| format!("M{} {}h1v1h-1z", column + quiet, row + quiet)).collect();
    Ok(format!(
        "<svg class=\"qr\" viewBox=\"0 0 {whole} {whole}\" role=\"img\" aria-label=\"QR code of the link\" \
         shape-rendering=\"crispEdges\"><rect width=\"{whole}\" height=\"{whole}\" fill=\"#fff\"/><path d=\"{path}\" fill=\"#000\"/></svg>"
    ))
}
