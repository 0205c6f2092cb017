//! The JSON of a proof's figures; all of them are estimated.
//!
//! Start with [`KindJson`]. The figures are rounded here, nowhere before.

use serde::Serialize;

use crate::{proof::Letter, symbol::SymbolKind, unit::Mm};

/// A kind of symbol in simulated prints.
#[derive(Debug, Serialize)]
pub struct KindJson {
    /// The symbology.
    pub kind: SymbolKind,
    /// Width of a module.
    pub x_dimension_mm: Mm,
    /// Modules across without quiet zones.
    pub modules: u32,
    /// How many symbols are of this kind.
    pub symbols: usize,
    /// The worst letter.
    pub letter: Letter,
    /// By their names.
    #[serde(serialize_with = "by_name")]
    pub figures: Vec<FigureJson>,
    /// How many simulated prints were read.
    pub read: usize,
    /// Of how many.
    pub prints: usize,
}

/// A figure of a kind of symbol.
#[derive(Debug)]
pub struct FigureJson {
    /// Its name.
    pub name: &'static str,
    /// Its value.
    pub value: f64,
}

/// To the thousandth: more is noise.
fn by_name<S: serde::Serializer>(figures: &[FigureJson], serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_map(figures.iter().map(|figure| (figure.name, (figure.value * 1000.0).round() / 1000.0)))
}
