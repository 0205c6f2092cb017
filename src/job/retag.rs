//! Codes of their present bins for items whose code names another one, so that tags show again where things are.
//!
//! Start with [`retag`]. Sold items are left as they are unless they are named: they are about to leave, and an order
//! tells of them under their code.

use super::{RetagCost, bin_by_text, items_by_text, reference::ReferenceError, retag_cost, round::walk_key};
use crate::{
    code::StockCode,
    register::{ItemFilter, Register, RegisterError, Retagged, Status},
};

/// Whose codes are to be renewed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RetagChoice {
    /// Those of these items.
    Of(Vec<String>),
    /// Of what is in a bin.
    Bin(String),
    /// Of what is in the bins of an area.
    Area(String),
    /// Of all that is in bins.
    All,
}

/// What became of it, or would.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RetagOutcome {
    /// The items with their new codes, in walking order.
    pub retagged: Vec<Retagged>,
    /// How many tags and listings of theirs show an old code then.
    pub cost: RetagCost,
    /// Sold ones that were left as they are.
    pub sold: usize,
}

/// Gives items codes of their present bins, in walking order; with `try_only` it only tells what would be.
///
/// # Errors
/// [`ReferenceError`] for a code that stands for nothing.
pub fn retag(register: &mut Register, choice: &RetagChoice, try_only: bool) -> Result<RetagOutcome, ReferenceError> {
    let area = |area: &str| Ok::<_, RegisterError>(Some(area.parse()?));
    let within = match choice {
        RetagChoice::Of(_) | RetagChoice::All => ItemFilter::stowed(),
        RetagChoice::Bin(bin) => ItemFilter { bin: Some(bin_by_text(register, bin)?.code), ..ItemFilter::stowed() },
        RetagChoice::Area(number) => ItemFilter { area: area(number)?, ..ItemFilter::stowed() },
    };
    let mut items = match choice {
        RetagChoice::Of(codes) => items_by_text(register, codes)?,
        _ => register.items(&within)?,
    };
    items.retain(|item| item.tag_shows().is_some());
    let all = items.len();
    if !matches!(choice, RetagChoice::Of(_)) {
        items.retain(|item| item.status != Status::Sold);
    }
    items.sort_by_cached_key(|item| walk_key(item.stowed.as_ref(), item.code.map(StockCode::Item)));
    let (cost, sold) = (retag_cost(register, &items)?, all - items.len());
    let retagged = if items.is_empty() { Vec::new() } else { register.retag_items(&items, try_only)?.0 };
    Ok(RetagOutcome { retagged, cost, sold })
}
