//! Codes of their present bins for items whose code names another one, so that tags show again where things are.
//!
//! Start with [`retag`]. Sold items are left as they are unless they are named: they are about to leave, and an order
//! tells of them under their code.

use std::collections::BTreeSet;

use super::{RetagCost, bin_by_text, items_by_text, reference::ReferenceError, retag_cost, round::walk_key};
use crate::{
    code::StockCode,
    register::{ChangeId, Item, ItemFilter, Register, RegisterError, Retagged, Status},
};

/// Whose codes are to be renewed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RetagChoice {
    /// Those of these items.
    Of(Vec<String>),
    /// Of what is in these bins.
    Bins(Vec<String>),
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
    /// The change that undo takes back; `None` where nothing was done.
    pub change: Option<ChangeId>,
}

/// Gives items codes of their present bins, in walking order; with `try_only` it only tells what would be.
///
/// # Errors
/// [`ReferenceError`] for a code that stands for nothing.
pub fn retag(register: &mut Register, choice: &RetagChoice, try_only: bool) -> Result<RetagOutcome, ReferenceError> {
    let mut items = chosen(register, choice)?;
    items.retain(|item| item.tag_shows().is_some());
    let all = items.len();
    if !matches!(choice, RetagChoice::Of(_)) {
        items.retain(|item| item.status != Status::Sold);
    }
    items.sort_by_cached_key(|item| walk_key(item.stowed.as_ref(), item.code.map(StockCode::Item)));
    let (cost, sold) = (retag_cost(register, &items)?, all - items.len());
    let (retagged, change) =
        if items.is_empty() { (Vec::new(), None) } else { register.retag_items(&items, try_only)? };
    Ok(RetagOutcome { retagged, cost, sold, change })
}

fn chosen(register: &Register, choice: &RetagChoice) -> Result<Vec<Item>, ReferenceError> {
    let filter = match choice {
        RetagChoice::Of(codes) => return items_by_text(register, codes),
        RetagChoice::Bins(bins) => {
            let bins = bins.iter().map(|bin| Ok(bin_by_text(register, bin)?.code));
            let bins = bins.collect::<Result<BTreeSet<_>, ReferenceError>>()?;
            let within = |bin| register.items(&ItemFilter { bin: Some(bin), ..ItemFilter::stowed() });
            let items = bins.into_iter().map(within).collect::<Result<Vec<_>, _>>()?;
            return Ok(items.into_iter().flatten().collect());
        }
        RetagChoice::Area(number) => {
            let area = number.parse().map_err(RegisterError::Code)?;
            ItemFilter { area: Some(area), ..ItemFilter::stowed() }
        }
        RetagChoice::All => ItemFilter::stowed(),
    };
    Ok(register.items(&filter)?)
}
