//! Lists of items.

use rusqlite::params;

use super::{Item, Register, RegisterError, Status, item::item_query};
use crate::code::{AreaNumber, BinCode};

/// Which items are wanted; those whose entry was taken back never are.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ItemFilter {
    /// Only those in this bin.
    pub bin: Option<BinCode>,
    /// Only those in bins of this area.
    pub area: Option<AreaNumber>,
    /// Only those in a bin for which no finished run has printed a tag.
    pub untagged: bool,
    /// Only those in one of these states; all when there are none.
    pub states: Vec<Status>,
}

impl ItemFilter {
    /// Those in a bin.
    #[must_use]
    pub fn within(bin: BinCode) -> Self {
        Self { bin: Some(bin), ..Self::default() }
    }

    /// Those in bins, sold ones that are not picked yet among them.
    #[must_use]
    pub fn stowed() -> Self {
        Self { states: vec![Status::Held, Status::Listed, Status::Sold], ..Self::default() }
    }

    /// Those whose tag was not printed yet.
    #[must_use]
    pub fn untagged() -> Self {
        Self { untagged: true, ..Self::default() }
    }
}

/// Items by a filter; `$first` is the condition that an index answers.
macro_rules! listing {
    ($first:literal) => {
        item_query!(
            "WHERE ",
            $first,
            " AND item.state <> 'undone' AND (?1 IS NULL OR item.bin = ?1) AND (?2 IS NULL OR bin.area = ?2)
               AND (NOT ?3 OR item.bin IS NOT NULL AND NOT EXISTS (
                SELECT 1 FROM label JOIN run ON run.id = label.run
                    WHERE label.item = item.id AND run.state = 'done' AND run.kind = 'tags'))
               AND (?4 = '[]' OR item.state IN (SELECT value FROM json_each(?4)))
             ORDER BY bin.area IS NULL, bin.area, bin.rank, item.id"
        )
    };
}

impl Register {
    /// Items by the code of their bin and then as they were entered, those without a bin last.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::UnknownArea`].
    pub fn items(&self, filter: &ItemFilter) -> Result<Vec<Item>, RegisterError> {
        filter.area.map_or(Ok(()), |area| self.require_area(area))?;
        let bin = filter.bin.map(|code| self.bin(code)).transpose()?.map(|bin| bin.id);
        let sql = match (bin, filter.area) {
            (Some(_), _) => listing!("item.bin = ?1"),
            (None, Some(_)) => listing!("bin.area = ?2"),
            (None, None) if filter.states.is_empty() => listing!("true"),
            (None, None) => listing!("item.state IN (SELECT value FROM json_each(?4))"),
        };
        let states: Vec<&str> = filter.states.iter().map(|status| status.word()).collect();
        let states = serde_json::Value::from(states).to_string();
        let area = filter.area.map(AreaNumber::get);
        let mut query = self.connection.prepare(sql)?;
        let items = query.query_map(params![bin, area, filter.untagged, states], Item::from_row)?;
        Ok(items.collect::<Result<_, _>>()?)
    }
}
