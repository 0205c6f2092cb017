//! A page of a long list of items: sorted and cut by the database, so that a hundred thousand don't have to be read for
//! a hundred.
//!
//! Start with [`Register::item_page`]. Items whose entry was taken back are never on one.

use jiff::civil::Date;
use rusqlite::params;

use super::{Item, ItemFilter, ItemId, Register, RegisterError, Words, old_name::folded};
use crate::code::AreaNumber;

/// By what items are sorted. Those of which it is not known come last either way.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum ItemOrder {
    /// Where they are, in the order of bins.
    #[default]
    Bin,
    /// Their codes.
    Code,
    /// Their titles, without regard to capitals and accents.
    Title,
    /// What they cost.
    Cost,
    /// What is asked for them.
    Asking,
    /// When they were bought.
    Bought,
    /// Since when they are listed.
    Listed,
    /// What has become of them.
    State,
    /// When they were entered.
    Entered,
}

/// Which items are wanted, and which of them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ItemPage {
    /// Which items.
    pub filter: ItemFilter,
    /// Only those listed on this day or later.
    pub listed_since: Option<Date>,
    /// Only those whose titles have all of these words, or their beginnings, or whose code begins so. All when it is
    /// blank.
    pub text: String,
    /// By what they are sorted.
    pub order: ItemOrder,
    /// The other way round.
    pub reverse: bool,
    /// How many are passed over.
    pub first: usize,
    /// How many are wanted at most.
    pub most: usize,
}

macro_rules! wanted {
    ($what:literal, $tail:expr) => {
        concat!(
            "SELECT ",
            $what,
            " FROM item LEFT JOIN bin ON bin.id = item.bin
             WHERE item.state <> 'undone' AND (?1 IS NULL OR item.bin = ?1)
               AND (?2 IS NULL OR item.bin IN (SELECT id FROM bin WHERE area = ?2))
               AND (NOT ?3 OR item.bin IS NOT NULL AND NOT EXISTS (
                SELECT 1 FROM label JOIN run ON run.id = label.run
                    WHERE label.item = item.id AND run.state = 'done' AND run.kind = 'tags'))
               AND (?4 = '[]' OR item.state IN (SELECT value FROM json_each(?4)))
               AND (?5 IS NULL OR item.listed >= ?5)
               AND (?7 = '' OR substr(item.payload, 1, length(?7)) = ?7
                OR ?6 <> '' AND item.id IN (SELECT rowid FROM item_words WHERE item_words MATCH ?6)) ",
            $tail
        )
    };
}

/// `$way` goes behind each thing that they are sorted by.
macro_rules! ordered {
    ($unknown:literal, $way:literal, $($by:literal),+) => {
        wanted!(
            "item.id",
            concat!("ORDER BY ", $unknown, $(", ", $by, $way),+, ", item.id", $way, " LIMIT ?8 OFFSET ?9")
        )
    };
}

/// The same both ways.
macro_rules! both_ways {
    ($reverse:expr, $unknown:literal, $($by:literal),+) => {
        if $reverse { ordered!($unknown, " DESC", $($by),+) } else { ordered!($unknown, "", $($by),+) }
    };
}

impl ItemPage {
    /// A code is its area, letters and digits and a check letter: bins of an area with fewer letters come first.
    fn sql(&self) -> &'static str {
        let reverse = self.reverse;
        match self.order {
            ItemOrder::Bin => both_ways!(reverse, "item.bin IS NULL", "bin.area", "bin.rank"),
            ItemOrder::Code => both_ways!(
                reverse,
                "item.payload IS NULL",
                "CAST(item.payload AS INTEGER)",
                "length(rtrim(rtrim(item.payload, 'ABCDEFGHIJKLMNOPQRSTUVWXYZ'), '0123456789'))",
                "rtrim(rtrim(item.payload, 'ABCDEFGHIJKLMNOPQRSTUVWXYZ'), '0123456789')",
                "length(item.payload)",
                "item.payload"
            ),
            ItemOrder::Title => both_ways!(reverse, "item.id IS NULL", "item.words COLLATE NOCASE"),
            ItemOrder::Cost => both_ways!(reverse, "item.cost IS NULL", "item.cost"),
            ItemOrder::Asking => both_ways!(reverse, "item.asking IS NULL", "item.asking"),
            ItemOrder::Bought => both_ways!(reverse, "item.bought IS NULL", "item.bought"),
            ItemOrder::Listed => both_ways!(reverse, "item.listed IS NULL", "item.listed"),
            ItemOrder::State => both_ways!(
                reverse,
                "item.id IS NULL",
                "CASE item.state WHEN 'waiting' THEN 0 WHEN 'held' THEN 1 WHEN 'listed' THEN 2 WHEN 'sold' THEN 3
                    WHEN 'picked' THEN 4 ELSE 5 END"
            ),
            ItemOrder::Entered => both_ways!(reverse, "item.id IS NULL", "item.id"),
        }
    }
}

impl Register {
    /// A page of items, and how many there are on all pages.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::UnknownArea`].
    pub fn item_page(&self, page: &ItemPage) -> Result<(Vec<Item>, usize), RegisterError> {
        let filter = &page.filter;
        filter.area.map_or(Ok(()), |area| self.require_area(area))?;
        let bin = filter.bin.map(|code| self.bin(code)).transpose()?.map(|bin| bin.id);
        let area = filter.area.map(AreaNumber::get);
        let states: Vec<&str> = filter.states.iter().map(|status| status.word()).collect();
        let states = serde_json::Value::from(states).to_string();
        let since = page.listed_since.map(|day| day.to_string());
        let start = folded(&page.text);
        let words = Words::new(&page.text).map(|words| self.all_of(&words)).transpose()?.unwrap_or_default();
        let [most, first] = [page.most, page.first].map(|number| i64::try_from(number).unwrap_or(i64::MAX));
        let mut query = self.connection.prepare_cached(page.sql())?;
        let wanted = params![bin, area, filter.untagged, states, since, words, start, most, first];
        let ids = query.query_map(wanted, |row| row.get(0).map(ItemId))?.collect::<Result<Vec<_>, _>>()?;
        let mut query = self.connection.prepare_cached(wanted!("count(*)", ""))?;
        let wanted = params![bin, area, filter.untagged, states, since, words, start];
        let all: i64 = query.query_row(wanted, |row| row.get(0))?;
        let items = ids.into_iter().filter_map(|id| self.item(id).transpose()).collect::<Result<_, _>>()?;
        Ok((items, usize::try_from(all).unwrap_or_default()))
    }
}
