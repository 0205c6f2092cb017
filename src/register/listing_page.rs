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
    /// A code is its area, one or two letters, digits and a check letter: bins of an area with one letter come first.
    fn sql(&self) -> &'static str {
        let reverse = self.reverse;
        match self.order {
            ItemOrder::Bin => both_ways!(reverse, "item.bin IS NULL", "bin.area", "bin.rank"),
            ItemOrder::Code => both_ways!(
                reverse,
                "item.payload IS NULL",
                "CAST(item.payload AS INTEGER)",
                "substr(item.payload, 2 + length(CAST(item.payload AS INTEGER)), 1) > '9'",
                "substr(item.payload, 1, 1 + length(CAST(item.payload AS INTEGER))
                    + (substr(item.payload, 2 + length(CAST(item.payload AS INTEGER)), 1) > '9'))",
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        code::BinCode,
        register::{NewBins, NewItem, Status, Title},
        unit::Money,
    };

    /// Items in bins that are not in the order of their letters as text: 4A, 4B … 4AA, and 12A.
    fn filled() -> Register {
        let mut register = Register::in_memory().unwrap();
        for (area, bins) in [(4, 20), (12, 1), (120, 20)] {
            let area = AreaNumber::new(area).unwrap();
            register.add_area(area, "Loft").unwrap();
            register.add_bins(area, &NewBins::new(bins)).unwrap();
        }
        let bin = |text: &str| text.parse::<BinCode>().ok();
        let item = |title: &str, bin: Option<BinCode>, asking: Option<i64>| NewItem {
            bin,
            asking: asking.and_then(Money::from_minor),
            ..NewItem::new(Title::new(title).unwrap())
        };
        let items = [
            item("étui", bin("12A"), Some(300)),
            item("Zester", bin("4AA"), None),
            item("Egg cups", bin("4B"), Some(200)),
            item("board game", bin("4A"), Some(1000)),
            item("Waiting wok", None, Some(100)),
            item("Apron", bin("4A"), Some(200)),
            item("Whisk", bin("120AA"), Some(400)),
            item("Vase", bin("120X"), Some(500)),
        ];
        register.add_items(&items, None).unwrap();
        register
    }

    fn titles(register: &Register, page: &ItemPage) -> Vec<String> {
        let (items, all) = register.item_page(&ItemPage { most: 100, ..page.clone() }).unwrap();
        assert_eq!(items.len(), all);
        items.into_iter().map(|item| item.title).collect()
    }

    fn by(order: ItemOrder, reverse: bool) -> ItemPage {
        ItemPage { order, reverse, ..ItemPage::default() }
    }

    #[test]
    fn bins_and_codes_are_sorted_as_people_count() {
        let register = filled();
        let in_order = ["board game", "Apron", "Egg cups", "Zester", "étui", "Vase", "Whisk", "Waiting wok"];
        for order in [ItemOrder::Bin, ItemOrder::Code] {
            assert_eq!(titles(&register, &by(order, false)), in_order);
            let reversed = ["Whisk", "Vase", "étui", "Zester", "Egg cups", "Apron", "board game", "Waiting wok"];
            assert_eq!(titles(&register, &by(order, true)), reversed);
        }
    }

    /// The 1000th item of a bin has a code that is longer than that of the 999th.
    #[test]
    fn codes_with_more_digits_come_behind() {
        let mut register = filled();
        let more = NewItem { bin: "4A".parse().ok(), ..NewItem::new(Title::new("Pan").unwrap()) };
        register.add_items(&vec![more; 1000], None).unwrap();
        let page = ItemPage { first: 1001, most: 2, ..by(ItemOrder::Code, false) };
        let codes: Vec<String> = register.item_page(&page).unwrap().0.iter().map(Item::name).collect();
        assert!(codes[0].starts_with("4A-1002") && codes[1].starts_with("4B-001"), "{codes:?}");
    }

    #[test]
    fn titles_are_sorted_without_accents_and_capitals() {
        let sorted = ["Apron", "board game", "Egg cups", "étui", "Vase", "Waiting wok", "Whisk", "Zester"];
        assert_eq!(titles(&filled(), &by(ItemOrder::Title, false)), sorted);
    }

    #[test]
    fn what_is_not_known_comes_last_either_way() {
        let register = filled();
        let up = ["Waiting wok", "Egg cups", "Apron", "étui", "Whisk", "Vase", "board game", "Zester"];
        assert_eq!(titles(&register, &by(ItemOrder::Asking, false)), up);
        let down = ["board game", "Vase", "Whisk", "étui", "Apron", "Egg cups", "Waiting wok", "Zester"];
        assert_eq!(titles(&register, &by(ItemOrder::Asking, true)), down);
    }

    #[test]
    fn pages_follow_each_other_without_a_gap() {
        let register = filled();
        for order in [
            ItemOrder::Bin,
            ItemOrder::Code,
            ItemOrder::Title,
            ItemOrder::Cost,
            ItemOrder::Asking,
            ItemOrder::Bought,
            ItemOrder::Listed,
            ItemOrder::State,
            ItemOrder::Entered,
        ] {
            let page = |first| ItemPage { first, most: 2, ..by(order, true) };
            let pages = [0, 2, 4, 6, 8].map(|first| register.item_page(&page(first)).unwrap());
            assert!(pages.iter().all(|(_, all)| *all == 8), "{order:?}");
            let parts: Vec<String> = pages.into_iter().flat_map(|(items, _)| items).map(|item| item.title).collect();
            assert_eq!(parts, titles(&register, &by(order, true)), "{order:?}");
        }
    }

    #[test]
    fn lists_are_narrowed_by_words_codes_states_and_places() {
        let register = filled();
        let text = |text: &str| titles(&register, &ItemPage { text: text.into(), ..ItemPage::default() });
        assert_eq!(text("etu"), ["étui"]);
        assert_eq!(text("cups egg"), ["Egg cups"]);
        assert_eq!(text("4a-00"), ["board game", "Apron"]);
        assert_eq!(text("\"' OR 1=1 -- *"), Vec::<String>::new());
        let of = |filter: ItemFilter| titles(&register, &ItemPage { filter, ..ItemPage::default() });
        assert_eq!(of(ItemFilter { area: AreaNumber::new(12).ok(), ..ItemFilter::default() }), ["étui"]);
        assert_eq!(of(ItemFilter { bin: "4B".parse().ok(), ..ItemFilter::default() }), ["Egg cups"]);
        assert_eq!(of(ItemFilter { states: vec![Status::Waiting], ..ItemFilter::default() }), ["Waiting wok"]);
        assert_eq!(of(ItemFilter::untagged()).len(), 7);
        let unknown = ItemFilter { area: AreaNumber::new(5).ok(), ..ItemFilter::default() };
        assert!(register.item_page(&ItemPage { filter: unknown, ..ItemPage::default() }).is_err());
    }
}
