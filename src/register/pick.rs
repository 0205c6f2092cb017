//! Items that were sold, taken from their bins.
//!
//! Start with [`Register::pick_items`].

use jiff::civil::Date;

use super::{
    ChangeId, Item, ItemId, Register, RegisterError, Status,
    change::Change,
    item::named,
    row::{ItemRow, SaleRow},
    sale::{open_sale_in, present_in},
};
use crate::code::BinCode;

/// An item that was taken from its bin to be sent.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// Which.
    pub item: ItemId,
    /// What it is called by.
    pub name: String,
    /// The bin that it was in.
    pub from: BinCode,
}

impl Register {
    /// Says that items were taken from their bins to be sent, all of them or none.
    ///
    /// # Errors
    /// [`RegisterError::PickedBefore`]; [`RegisterError::NotSold`].
    pub fn pick_items(&mut self, items: &[Item], day: Date) -> Result<(Vec<Pick>, Option<ChangeId>), RegisterError> {
        let change = self.begin(&format!("pick {}", named(items)))?;
        let picks = items.iter().map(|item| pick_in(&change, item, day)).collect::<Result<_, _>>()?;
        Ok((picks, change.commit()?))
    }
}

fn pick_in(change: &Change<'_>, item: &Item, day: Date) -> Result<Pick, RegisterError> {
    let present = present_in(change, item.id)?;
    let (name, status) = (present.name(), present.status);
    if let (Status::Picked, Some(sold)) = (status, present.sold.clone()) {
        return Err(RegisterError::PickedBefore { item: name, sold });
    }
    let from = present.bin().filter(|_| status == Status::Sold);
    let from = from.ok_or_else(|| RegisterError::NotSold { item: name.clone(), status })?;
    let sale = open_sale_in(change, &present)?;
    change.rewrite::<SaleRow>("sale picked", &sale.id.into(), |row| {
        row.picked = Some(day.to_string());
        Ok(())
    })?;
    change.rewrite::<ItemRow>("item picked", &item.id.0.into(), |row| {
        (row.state, row.bin) = ("picked".into(), None);
        Ok(())
    })?;
    Ok(Pick { item: item.id, name, from })
}
