//! Corrections of what was entered of items, and their listing.

use jiff::civil::Date;

use super::{
    BulkEdit, ChangeId, Item, Register, RegisterError, Status, Title,
    change::Change,
    item::named,
    row::{ItemRow, Row},
};
use crate::unit::Money;

/// What is to become of something that may be known or not.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Edit<T> {
    /// It stays as it is.
    #[default]
    Keep,
    /// It is not known any more.
    Clear,
    /// It is this.
    Set(T),
}

impl<T> Edit<T> {
    /// To this value, which may be none, if it differs.
    #[must_use]
    pub fn where_it(differs: bool, value: Option<T>) -> Self {
        if differs { value.map_or(Self::Clear, Self::Set) } else { Self::Keep }
    }

    /// Gives a column its new value.
    pub(super) fn apply<V>(&self, column: &mut Option<V>, value: impl FnOnce(&T) -> V) {
        match self {
            Self::Keep => {}
            Self::Clear => *column = None,
            Self::Set(new) => *column = Some(value(new)),
        }
    }
}

/// What is to be changed of items.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ItemEdit {
    /// What it is, if that changes.
    pub title: Option<Title>,
    /// What it cost.
    pub cost: Edit<Money>,
    /// What is asked for it.
    pub asking: Edit<Money>,
    /// When it was bought.
    pub bought: Edit<Date>,
    /// What its owner notes of it.
    pub note: Edit<Title>,
    /// How big and heavy it is.
    pub bulk: BulkEdit,
}

impl Register {
    /// Changes what is known of items, all of them or none. `None` when nothing came out different.
    ///
    /// # Errors
    /// [`RegisterError::HasLeft`] for an item whose entry was taken back.
    pub fn edit_items(&mut self, items: &[Item], edit: &ItemEdit) -> Result<Option<ChangeId>, RegisterError> {
        let change = self.begin(&format!("edit {}", named(items)))?;
        for item in items {
            edit_in(&change, item, edit)?;
        }
        change.commit()
    }

    /// Marks items as listed since a day, at a new price if one is given; those that are listed keep their day unless
    /// `day` is given. `None` when nothing came out different.
    ///
    /// # Errors
    /// [`RegisterError::CannotList`] for an item that has no code yet or has been sold or has gone.
    pub fn list_items(
        &mut self,
        items: &[Item],
        asking: Option<Money>,
        day: Option<Date>,
    ) -> Result<Option<ChangeId>, RegisterError> {
        let change = self.begin(&format!("list {}", named(items)))?;
        let today = super::journal::today();
        for item in items {
            change.rewrite::<ItemRow>("item listed", &item.id.0.into(), |row| {
                let status = Status::by_word(&row.state);
                if !matches!(status, Some(Status::Held | Status::Listed)) {
                    let status = status.unwrap_or(item.status);
                    return Err(RegisterError::CannotList { item: item.name(), status });
                }
                let day = day.map(|day| day.to_string()).or(row.listed.clone()).unwrap_or_else(|| today.clone());
                row.state = "listed".into();
                row.listed = Some(day);
                row.listing_code = None;
                row.asking = asking.map(Money::minor).or(row.asking);
                Ok(())
            })?;
        }
        change.commit()
    }
}

pub(super) fn edit_in(change: &Change<'_>, item: &Item, edit: &ItemEdit) -> Result<(), RegisterError> {
    refuse_undone(change, item)?;
    let apply = |row: &mut ItemRow| {
        edit.apply(row);
        Ok(())
    };
    change.rewrite::<ItemRow>("item edited", &item.id.0.into(), apply).map(drop)
}

/// The state in the file counts, not the one that the item was read with.
fn refuse_undone(change: &Change<'_>, item: &Item) -> Result<(), RegisterError> {
    let row = ItemRow::require_in(change, &item.id.0.into())?;
    if row.state == "undone" {
        return Err(RegisterError::HasLeft { item: item.name(), status: Status::Undone });
    }
    Ok(())
}

impl ItemEdit {
    /// Whether it changes nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    fn apply(&self, row: &mut ItemRow) {
        if let Some(title) = &self.title {
            title.as_str().clone_into(&mut row.title);
        }
        self.cost.apply(&mut row.cost, |cost| cost.minor());
        self.asking.apply(&mut row.asking, |asking| asking.minor());
        self.bought.apply(&mut row.bought, ToString::to_string);
        self.note.apply(&mut row.note, |note| note.as_str().to_owned());
        self.bulk.apply(row);
    }
}
