//! Codes of the bins that items are in now, for items whose code names another bin.
//!
//! Start with [`Register::retag_items`]. Old codes stay names for ever. An item that comes back to a bin of which it had
//! a code before has that one again.

use rusqlite::params;

use super::{
    Bin, ChangeId, Item, ItemId, Register, RegisterError,
    bin::bin_in,
    change::Change,
    item::{item_code, item_query, name_in, named},
    last_label::HAS_TAG,
    row::ItemRow,
    target::next_code_in,
};
use crate::code::ItemCode;

/// An item that got a code of its present bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Retagged {
    /// The item with its new code.
    pub item: Item,
    /// The code that it had.
    pub was: ItemCode,
}

impl Register {
    /// Gives items whose code names another bin than they are in a code of their present bin; all others are left out.
    /// A listed one is remembered as listed under its old code. With `try_only` nothing is kept: the answer says what
    /// would be.
    ///
    /// # Errors
    /// [`RegisterError::Code`] when a bin has used up its serials.
    pub fn retag_items(
        &mut self,
        items: &[Item],
        try_only: bool,
    ) -> Result<(Vec<Retagged>, Option<ChangeId>), RegisterError> {
        let change = self.begin(&format!("retag {}", named(items)))?;
        let mut retagged = Vec::new();
        for item in items {
            retagged.extend(retag_in(&change, item.id())?);
        }
        let id = if try_only { None } else { change.commit()? };
        Ok((retagged, id))
    }

    /// The codes that an item had before the one that it has now, by bin. They go on finding it.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn codes_before(&self, item: &Item) -> Result<Vec<ItemCode>, RegisterError> {
        let sql = "SELECT payload FROM name WHERE item = ?1 AND old IS NULL ORDER BY payload";
        let mut query = self.connection.prepare_cached(sql)?;
        let codes = query.query_map([item.id().0], |row| item_code(&row.get::<_, String>(0)?))?;
        let codes: Vec<ItemCode> = codes.collect::<Result<_, _>>()?;
        Ok(codes.into_iter().filter(|code| Some(*code) != item.code).collect())
    }
}

fn retag_in(change: &Change<'_>, id: ItemId) -> Result<Option<Retagged>, RegisterError> {
    let present = item_in(change, id)?;
    let (Some(was), Some(bin), Some(_)) = (present.code, present.bin(), present.tag_shows()) else { return Ok(None) };
    let code = code_of_bin_in(change, id, &bin_in(change, &bin.payload())?.ok_or(RegisterError::UnknownBin(bin))?)?;
    change.rewrite::<ItemRow>("item retagged", &id.0.into(), |row| {
        row.payload = Some(code.payload());
        if row.state == "listed" {
            let shown = row.listing_code.take().unwrap_or_else(|| was.payload());
            row.listing_code = Some(shown).filter(|shown| *shown != code.payload());
        }
        Ok(())
    })?;
    Ok(Some(Retagged { item: item_in(change, id)?, was }))
}

fn item_in(change: &Change<'_>, id: ItemId) -> Result<Item, RegisterError> {
    let sql = item_query!("WHERE item.id = ?1");
    Ok(change.prepare_cached(sql)?.query_row([id.0], Item::from_row)?)
}

/// The last code of this bin that the item had, else the bin's next one.
pub(super) fn code_of_bin_in(change: &Change<'_>, item: ItemId, bin: &Bin) -> Result<ItemCode, RegisterError> {
    // Its codes go by the index of all codes: a serial follows, and `:` comes after the digits.
    let sql =
        "SELECT payload FROM name WHERE payload > ?1 || '0' AND payload < ?1 || ':' AND item = ?2 AND old IS NULL";
    let mut query = change.prepare_cached(sql)?;
    let codes = query.query_map(params![bin.code.to_string(), item.0], |row| item_code(&row.get::<_, String>(0)?))?;
    let codes: Vec<ItemCode> = codes.collect::<Result<_, _>>()?;
    if let Some(own) = codes.into_iter().filter(|code| code.bin == bin.code).max() {
        return Ok(own);
    }
    let code = next_code_in(change, bin)?;
    name_in(change, code, item.0)?;
    Ok(code)
}

/// Whether an item may have another code when it moves: nothing in the world shows the one that it has, as far as the
/// register knows. A listing shows it, and so does what a buyer was told.
pub(super) fn is_code_unseen_in(change: &Change<'_>, item: &Item) -> Result<bool, RegisterError> {
    let is_shown = item.listed.is_some() || item.sold.is_some() || item.listing_code.is_some();
    Ok(!is_shown && !change.prepare_cached(HAS_TAG)?.exists([item.id.0])?)
}
