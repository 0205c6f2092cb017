//! Why there is no plan of moves.

use crate::{
    code::{AreaNumber, BinCode},
    register::RegisterError,
};

/// Why there is no plan.
#[derive(Debug, thiserror::Error)]
pub enum RegroupError {
    /// There is nothing to plan with.
    #[error("there are no bins with anything in them{}; `stowmark bin list` shows all", within(areas))]
    NoBins {
        /// The areas that were named.
        areas: Vec<AreaNumber>,
    },
    /// A bin that is to be emptied or kept is not among those that are planned with.
    #[error("{bin} is not in {}; name its area too, or leave --area out", areas_text(areas))]
    NotWithin {
        /// Which.
        bin: BinCode,
        /// The areas that were named.
        areas: Vec<AreaNumber>,
    },
    /// A bin can't be emptied and kept.
    #[error("{0} is to be emptied and to be kept; name it once")]
    EmptyAndKeep(BinCode),
    /// What is in bins that are to be emptied does not fit elsewhere.
    #[error(
        "what is in {} does not fit into the other bins{}{}",
        names(empty),
        left_text(*left),
        litres_hint(no_litres)
    )]
    NoRoom {
        /// The bins that are to be emptied.
        empty: Vec<BinCode>,
        /// At least so many items have no room; none where that is not known.
        left: usize,
        /// Bins of which no litres are known.
        no_litres: Vec<String>,
    },
    /// The user did not want to wait for it.
    #[error("planning was cancelled")]
    Cancelled,
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn within(areas: &[AreaNumber]) -> String {
    if areas.is_empty() { String::new() } else { format!(" in {}", areas_text(areas)) }
}

fn areas_text(areas: &[AreaNumber]) -> String {
    let numbers: Vec<String> = areas.iter().map(AreaNumber::to_string).collect();
    format!("area {}", numbers.join(" or "))
}

fn names(bins: &[BinCode]) -> String {
    bins.iter().map(BinCode::to_string).collect::<Vec<_>>().join(", ")
}

fn left_text(left: usize) -> String {
    match left {
        0 => " in any way that was found".into(),
        1 => ": at least 1 item would be left over".into(),
        left => format!(": at least {left} items would be left over"),
    }
}

fn litres_hint(no_litres: &[String]) -> String {
    match no_litres.first() {
        None => "; add bins, or empty fewer".into(),
        Some(bin) => format!(
            "; nothing goes into bins whose litres are not known ({}): `stowmark bin edit {bin} --litres 36`",
            no_litres.join(", ")
        ),
    }
}
