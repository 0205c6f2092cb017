//! The labels that hang in the world: of each thing the last one of each kind that a finished run printed.
//!
//! Start with [`Register::last_labels`], one pass over all labels. Whether they still hold is not decided here.

use std::collections::{HashMap, HashSet};

use rusqlite::Row;
use serde_json::Value;

use super::{
    ItemId, Register, RegisterError, RunId, RunKind, SpotId,
    bin::{bin_code, damaged},
    place::area_number,
    printed::json,
};
use crate::code::{AreaNumber, BinCode};

/// Whose label it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LabelOwner {
    /// An item's.
    Item(ItemId),
    /// A bin's, by its present code.
    Bin(BinCode),
    /// An area's.
    Area(AreaNumber),
    /// A spot's.
    Spot(SpotId),
}

/// The last label of a kind of something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastLabel {
    /// The run that printed it.
    pub run: RunId,
    /// What it is.
    pub kind: RunKind,
    /// Whose it is.
    pub owner: LabelOwner,
    /// What it said, as JSON in the way in which this program writes it.
    pub said: String,
    /// How it looks, where that is not as the run's options say.
    pub look: Option<String>,
}

impl LastLabel {
    /// What it said, member by member.
    ///
    /// # Errors
    /// [`RegisterError`] when it is not as this program writes it.
    pub fn members(&self) -> Result<Value, RegisterError> {
        Ok(json(&self.said)?)
    }
}

impl Register {
    /// The last label of each kind of each item, bin, area and spot, the newest first. The copies of a label, and the
    /// parts of a list, are one.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn last_labels(&self) -> Result<Vec<LastLabel>, RegisterError> {
        let sql = "SELECT label.run, run.kind, label.item, bin.payload, label.area, label.spot, label.said, label.look
            FROM label CROSS JOIN run ON run.id = label.run LEFT JOIN bin ON bin.id = label.bin
            WHERE run.state = 'done' ORDER BY label.run DESC, label.number DESC";
        let mut query = self.connection.prepare(sql)?;
        let (mut rows, mut seen, mut labels) = (query.query([])?, HashSet::new(), Vec::new());
        while let Some(row) = rows.next()? {
            let (kind, owner) = (RunKind::by_word(row.get_ref(1)?.as_str().unwrap_or_default())?, owner(row)?);
            if seen.insert((kind, owner)) {
                let (run, said, look) = (RunId(row.get(0)?), row.get(6)?, row.get(7)?);
                labels.push(LastLabel { run, kind, owner, said, look });
            }
        }
        Ok(labels)
    }

    /// What it takes to draw the labels of each finished run again.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn run_options(&self) -> Result<HashMap<RunId, Value>, RegisterError> {
        let mut query = self.connection.prepare("SELECT id, options FROM run WHERE state = 'done'")?;
        let options = query.query_map([], |row| Ok((RunId(row.get(0)?), json(&row.get::<_, String>(1)?)?)))?;
        Ok(options.collect::<Result<_, _>>()?)
    }

    /// Which of these items have a tag that a finished run has printed.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn tagged(&self, items: impl IntoIterator<Item = ItemId>) -> Result<HashSet<ItemId>, RegisterError> {
        let mut query = self.connection.prepare_cached(HAS_TAG)?;
        let mut tagged = HashSet::new();
        for item in items {
            if query.exists([item.0])? {
                tagged.insert(item);
            }
        }
        Ok(tagged)
    }
}

/// Whether a finished run has printed a tag of an item.
pub(super) const HAS_TAG: &str = "SELECT 1 FROM label JOIN run ON run.id = label.run
    WHERE label.item = ?1 AND run.state = 'done' AND run.kind = 'tags'";

fn owner(row: &Row<'_>) -> rusqlite::Result<LabelOwner> {
    if let Some(item) = row.get::<_, Option<i64>>(2)? {
        return Ok(LabelOwner::Item(ItemId(item)));
    }
    if let Some(bin) = row.get_ref(3)?.as_str_or_null().map_err(|_| damaged("bin"))? {
        return Ok(LabelOwner::Bin(bin_code(bin)?));
    }
    if let Some(area) = row.get::<_, Option<u16>>(4)? {
        return Ok(LabelOwner::Area(area_number(area)?));
    }
    Ok(LabelOwner::Spot(SpotId(row.get(5)?)))
}
