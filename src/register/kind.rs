//! Kinds of bins, and the names for sizes of items that the user has set.
//!
//! Start with [`Register::add_kind`] and [`Register::set_size`]. Which names of sizes there are beside those that were set
//! is decided above.

use rusqlite::{OptionalExtension, params};

use super::{
    BinKind, ChangeId, Edit, Register, RegisterError, Room, Title,
    change::Change,
    row::{BinKindRow, BinRow, ItemSizeRow, Key},
};
use crate::unit::{Measures, USUAL_SIZES, Volume, Weight};

/// What is to be changed of how much bins of a kind hold.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct RoomEdit {
    /// Their usable volume.
    pub volume: Edit<Volume>,
    /// The most that what is in one may weigh.
    pub max_weight: Edit<Weight>,
    /// Their inner measures.
    pub inside: Edit<Measures>,
}

/// How a value that is not there is asked for; so that nothing can be called that.
const NONE: &str = "none";
/// Longer names leave no room beside them.
const MOST_CHARS: usize = 40;

impl Register {
    /// Adds a kind of bins.
    ///
    /// # Errors
    /// [`RegisterError::KindExists`], in any capitals; [`RegisterError::NoName`].
    pub fn add_kind(&mut self, name: &Title, room: Room) -> Result<BinKind, RegisterError> {
        refuse_name(name)?;
        let change = self.begin(&format!("add the kind of bins {}", name.as_str()))?;
        if let Ok(known) = kind_in(&change, name.as_str()) {
            return Err(RegisterError::KindExists(known));
        }
        let row = BinKindRow {
            volume: room.volume.map(|volume| volume.millilitres().into()),
            max_grams: room.max_weight.map(|weight| weight.grams().into()),
            inside: room.inside.map(Measures::kept),
        };
        change.restore("kind of bins added", &Key::Text(name.as_str().to_owned()), &row)?;
        change.commit()?;
        self.bin_kind(name.as_str())
    }

    /// Changes how much bins of a kind hold that have no figures of their own. `None` when nothing came out different.
    ///
    /// # Errors
    /// [`RegisterError::UnknownKind`].
    pub fn edit_kind(&mut self, name: &str, edit: &RoomEdit) -> Result<Option<ChangeId>, RegisterError> {
        let change = self.begin(&format!("edit the kind of bins {name}"))?;
        let key = Key::Text(kind_in(&change, name)?);
        change.rewrite::<BinKindRow>("kind of bins edited", &key, |row| {
            edit.volume.apply(&mut row.volume, |volume| volume.millilitres().into());
            edit.max_weight.apply(&mut row.max_grams, |weight| weight.grams().into());
            edit.inside.apply(&mut row.inside, |inside| inside.kept());
            Ok(())
        })?;
        change.commit()
    }

    /// Removes a kind that no bin in use is of. Retired ones are of none then.
    ///
    /// # Errors
    /// [`RegisterError::UnknownKind`]; [`RegisterError::KindInUse`].
    pub fn remove_kind(&mut self, name: &str) -> Result<(), RegisterError> {
        let change = self.begin(&format!("remove the kind of bins {name}"))?;
        let name = kind_in(&change, name)?;
        for bin in retired_in(&change, &name)? {
            change.rewrite::<BinRow>("bin edited", &bin.into(), |row| {
                row.kind = None;
                Ok(())
            })?;
        }
        refuse_used_kind_in(&change, &name)?;
        change.delete::<BinKindRow>("kind of bins removed", &Key::Text(name))?;
        change.commit().map(drop)
    }

    /// The kind of this name, in any capitals if only one is meant then.
    ///
    /// # Errors
    /// [`RegisterError::UnknownKind`].
    pub fn bin_kind(&self, name: &str) -> Result<BinKind, RegisterError> {
        let kinds = self.bin_kinds()?;
        let known: Vec<String> = kinds.iter().map(|kind| kind.name.clone()).collect();
        let found = meant(&known, name).and_then(|name| kinds.iter().find(|kind| kind.name == *name));
        found.cloned().ok_or_else(|| RegisterError::UnknownKind { name: name.trim().to_owned(), known })
    }

    /// Whether any bin that is in use has a volume, a weight limit or inner measures.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn has_room(&self) -> Result<bool, RegisterError> {
        let sql = "SELECT EXISTS (SELECT 1 FROM bin LEFT JOIN bin_kind ON bin_kind.name = bin.kind
            WHERE bin.state = 'live' AND bin.retired IS NULL
                AND coalesce(bin.volume, bin.max_grams, bin.inside, bin_kind.volume, bin_kind.max_grams,
                    bin_kind.inside) IS NOT NULL)";
        Ok(self.connection.prepare_cached(sql)?.query_row([], |row| row.get(0))?)
    }

    /// Sets what a name for a size stands for. `None` when it stood for that already.
    ///
    /// # Errors
    /// [`RegisterError::NoName`].
    pub fn set_size(&mut self, name: &Title, volume: Volume) -> Result<Option<ChangeId>, RegisterError> {
        refuse_name(name)?;
        let is_known = self.set_sizes()?.iter().any(|(known, _)| known == name.as_str());
        let change = self.begin(&format!("set the size {}", name.as_str()))?;
        let (key, row) = (Key::Text(name.as_str().to_owned()), ItemSizeRow { volume: volume.millilitres().into() });
        if is_known {
            change.rewrite::<ItemSizeRow>("size set", &key, |known| {
                *known = row;
                Ok(())
            })?;
        } else {
            change.restore("size set", &key, &row)?;
        }
        change.commit()
    }

    /// Forgets what a name for a size was set to.
    ///
    /// # Errors
    /// [`RegisterError`] when it was not set, or the file can't be written.
    pub fn remove_size(&mut self, name: &str) -> Result<(), RegisterError> {
        let change = self.begin(&format!("remove the size {name}"))?;
        change.delete::<ItemSizeRow>("size removed", &Key::Text(name.to_owned()))?;
        change.commit().map(drop)
    }

    /// How many items have a size of this name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn items_of_size(&self, name: &str) -> Result<u32, RegisterError> {
        let sql = "SELECT count(*) FROM item WHERE size = ?1 AND state <> 'undone'";
        Ok(self.connection.prepare_cached(sql)?.query_row([name], |row| row.get(0))?)
    }
}

fn refuse_name(name: &Title) -> Result<(), RegisterError> {
    let (name, chars) = (name.as_str().to_owned(), name.as_str().chars().count());
    match chars {
        _ if name.eq_ignore_ascii_case(NONE) => Err(RegisterError::NoName(name)),
        chars if chars > MOST_CHARS => Err(RegisterError::LongName { name, chars, most: MOST_CHARS }),
        _ => Ok(()),
    }
}

/// The kind that is meant, as it is written.
pub(super) fn kind_in(change: &Change<'_>, name: &str) -> Result<String, RegisterError> {
    let mut query = change.prepare_cached("SELECT name FROM bin_kind ORDER BY name")?;
    let known = query.query_map([], |row| row.get(0))?.collect::<Result<Vec<String>, _>>()?;
    let found = meant(&known, name).cloned();
    found.ok_or_else(|| RegisterError::UnknownKind { name: name.trim().to_owned(), known })
}

/// As it is written, else in any capitals if only one is meant then.
fn meant<'k>(known: &'k [String], name: &str) -> Option<&'k String> {
    let name = name.trim();
    let mut alike = known.iter().filter(|known| known.to_lowercase() == name.to_lowercase());
    let only = alike.next().filter(|_| alike.next().is_none());
    known.iter().find(|known| *known == name).or(only)
}

/// The retired bins of a kind, which nothing can be done with otherwise.
fn retired_in(change: &Change<'_>, name: &str) -> Result<Vec<i64>, RegisterError> {
    let mut query = change.prepare_cached("SELECT id FROM bin WHERE kind = ?1 AND retired IS NOT NULL ORDER BY id")?;
    let bins = query.query_map([name], |row| row.get(0))?.collect::<Result<_, _>>()?;
    Ok(bins)
}

/// One that a retired bin is of stays as well.
pub(super) fn refuse_used_kind_in(change: &Change<'_>, name: &str) -> Result<(), RegisterError> {
    let sql = "SELECT payload, (SELECT count(*) FROM bin WHERE kind = ?1) FROM bin WHERE kind = ?1 ORDER BY area, rank";
    let read = |row: &rusqlite::Row<'_>| Ok((super::bin::bin_code(&row.get::<_, String>(0)?)?, row.get(1)?));
    match change.prepare_cached(sql)?.query_row(params![name], read).optional()? {
        Some((first, bins)) => Err(RegisterError::KindInUse { name: name.to_owned(), first, bins }),
        None => Ok(()),
    }
}

/// Of items that would have a size which is neither usual nor set, the change is refused.
pub(super) fn refuse_lost_size_in(change: &Change<'_>, name: &str) -> Result<(), RegisterError> {
    let is_usual = USUAL_SIZES.iter().any(|(usual, _)| *usual == name);
    if is_usual || change.prepare_cached("SELECT 1 FROM item_size WHERE name = ?1")?.exists([name])? {
        return Ok(());
    }
    let sql = "SELECT count(*) FROM item WHERE size = ?1 AND state <> 'undone'";
    match change.prepare_cached(sql)?.query_row([name], |row| row.get(0))? {
        0 => Ok(()),
        items => Err(RegisterError::SizeInUse { name: name.to_owned(), items }),
    }
}
