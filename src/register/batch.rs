//! The rows of a file entered as one change: new items, and changes of those that are there.

use std::ops::ControlFlow;

use super::{
    Change, Item, ItemEdit, NewImport, NewItem, NewMapping, Register, RegisterError,
    bin::live_bin_in,
    edit::edit_in,
    import::record_in,
    item::{insert_in, move_in},
    mapping::remember_in,
    old_name::add_in,
    target::targets_in,
};
use crate::{code::BinCode, unit::count};

/// What is to be changed of an item.
#[derive(Debug, Clone, PartialEq)]
pub struct ItemChange {
    /// The item as it was read.
    pub item: Item,
    /// What is to be known of it.
    pub edit: ItemEdit,
    /// The bin that it is to be put into.
    pub bin: Option<BinCode>,
    /// Labels from before to be taken on.
    pub old: Vec<String>,
}

/// What a file brings.
#[derive(Debug, Clone, Default)]
pub struct Batch {
    /// The items that are new, in their order.
    pub new: Vec<NewItem>,
    /// The items that change.
    pub changes: Vec<ItemChange>,
    /// The file that the new ones come from, to be recorded.
    pub import: Option<NewImport>,
    /// What its columns mean, to be remembered.
    pub mapping: Option<NewMapping>,
}

impl Register {
    /// Enters all of it as one change, or nothing. Gives the new items.
    ///
    /// # Errors
    /// Those of [`Register::add_items`], [`Register::edit_items`], [`Register::move_items`] and
    /// [`Register::add_old_code`].
    pub fn enter(&mut self, batch: &Batch) -> Result<Vec<Item>, RegisterError> {
        self.enter_watched(batch, &mut || ControlFlow::Continue(()))
    }

    /// The same; `watch` is told of each item, and may leave off before the last one is in.
    ///
    /// # Errors
    /// The same; [`RegisterError::LeftOff`], and the register is as it was then.
    pub fn enter_watched(
        &mut self,
        batch: &Batch,
        watch: &mut dyn FnMut() -> ControlFlow<()>,
    ) -> Result<Vec<Item>, RegisterError> {
        let mut watch = || if watch().is_break() { Err(RegisterError::LeftOff) } else { Ok(()) };
        let change = self.begin(&batch.what())?;
        batch.import.as_ref().map_or(Ok(()), |import| record_in(&change, import, batch.new.len()))?;
        let added = insert_all_in(&change, &batch.new, &mut watch)?;
        for item in &batch.changes {
            watch()?;
            change_in(&change, item)?;
        }
        batch.mapping.as_ref().map_or(Ok(()), |mapping| remember_in(&change, mapping))?;
        change.commit()?;
        Ok(added)
    }
}

impl Batch {
    fn what(&self) -> String {
        let of = self.import.as_ref().map(|import| format!(" of {}", import.file)).unwrap_or_default();
        match (self.new.as_slice(), self.changes.len()) {
            ([only], 0) if self.import.is_none() => format!("enter {}", only.title.as_str()),
            (new, 0) if self.import.is_none() => format!("enter {}", items(new.len())),
            (new, 0) => format!("import {}{of}", items(new.len())),
            ([], changed) => format!("import changes of {}", items(changed)),
            (new, changed) => format!("import {}{of}, and changes of {changed} more", items(new.len())),
        }
    }
}

fn items(number: usize) -> String {
    count(number as u64, "item")
}

fn insert_all_in(
    change: &Change<'_>,
    items: &[NewItem],
    watch: &mut impl FnMut() -> Result<(), RegisterError>,
) -> Result<Vec<Item>, RegisterError> {
    let mut targets = targets_in(change, items)?;
    let mut added = Vec::with_capacity(items.len());
    for item in items {
        watch()?;
        let target = item.bin.and_then(|bin| targets.get_mut(&bin));
        added.push(insert_in(change, target, item)?);
    }
    Ok(added)
}

fn change_in(change: &Change<'_>, wanted: &ItemChange) -> Result<(), RegisterError> {
    edit_in(change, &wanted.item, &wanted.edit)?;
    if let Some(bin) = wanted.bin {
        move_in(change, &wanted.item, &live_bin_in(change, bin)?)?;
    }
    wanted.old.iter().try_for_each(|old| add_in(change, &wanted.item, old))
}
