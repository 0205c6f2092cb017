//! Items: one-off things for sale, each in a bin.

use jiff::civil::Date;
use rusqlite::{OptionalExtension, Row, params};

use super::{
    Batch, Bin, Bulk, ChangeId, Place, Register, RegisterError, Status, Title,
    bin::{bin_code, damaged},
    change::Change,
    import::NewImport,
    journal,
    retag::{code_of_bin_in, is_code_unseen_in},
    row::ItemRow,
    target::{Target, next_code_in},
};
use crate::{
    code::{BinCode, ItemCode, StockCode},
    unit::Money,
};

/// The bin that an item is in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stowed {
    /// Its code.
    pub bin: BinCode,
    /// Where it stands.
    pub place: Place,
    /// The bin's place in the stack of its spot, from the top.
    pub stack: Option<u32>,
}

/// How an item was sold that has not come back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SoldAs {
    /// When it was sold.
    pub day: Date,
    /// The order that it was a part of.
    pub order: Option<String>,
    /// When it was taken from its bin.
    pub picked: Option<Date>,
}

/// An item as the register knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its present code; none before it was first put into a bin.
    pub code: Option<ItemCode>,
    /// What it is.
    pub title: String,
    /// The bin that it is in; none while it waits for one, and when it has left.
    pub stowed: Option<Stowed>,
    /// What it cost.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// When it was bought.
    pub bought: Option<Date>,
    /// What its owner noted of it.
    pub note: Option<String>,
    /// Since when it is listed.
    pub listed: Option<Date>,
    /// What has become of it.
    pub status: Status,
    /// How it was sold, if it was and has not come back.
    pub sold: Option<SoldAs>,
    /// Since when it is gone.
    pub gone: Option<Date>,
    /// Why it is gone.
    pub why_gone: Option<String>,
    /// How big and heavy it is.
    pub bulk: Bulk,
    /// The code that its listing still shows, where that is not the present one.
    pub listing_code: Option<ItemCode>,
    pub(super) id: ItemId,
}

impl Item {
    /// The key under which other methods of the register take it, and its number while it has no code.
    #[must_use]
    pub fn id(&self) -> ItemId {
        self.id
    }

    /// What people call it by: its code, or its number while it has none.
    #[must_use]
    pub fn name(&self) -> String {
        self.code.map_or_else(|| self.id.to_string(), |code| code.to_string())
    }

    /// The bin that it is in.
    #[must_use]
    pub fn bin(&self) -> Option<BinCode> {
        self.stowed.as_ref().map(|stowed| stowed.bin)
    }

    /// The bin that its code names, and so a tag of that code shows, if it is in another one now.
    #[must_use]
    pub fn tag_shows(&self) -> Option<BinCode> {
        let shown = self.code?.bin;
        self.bin().filter(|bin| *bin != shown).map(|_| shown)
    }
}

/// The register's own key of an item: its number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub(super) i64);

impl ItemId {
    /// The number that is written as `#12`; `None` for other texts.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let digits = text.trim().strip_prefix('#')?;
        digits.bytes().all(|byte| byte.is_ascii_digit()).then(|| digits.parse().ok().map(Self))?
    }

    /// The bare number.
    #[must_use]
    pub fn get(self) -> i64 {
        self.0
    }
}

impl std::fmt::Display for ItemId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "#{}", self.0)
    }
}

/// An item to be entered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewItem {
    /// What it is.
    pub title: Title,
    /// What it cost.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// When it was bought.
    pub bought: Option<Date>,
    /// What its owner notes of it.
    pub note: Option<Title>,
    /// The bin that it goes into; without one it waits.
    pub bin: Option<BinCode>,
    /// Labels from before.
    pub old: Vec<String>,
    /// How big and heavy it is.
    pub bulk: Bulk,
}

impl NewItem {
    /// An item of which only the title is known.
    #[must_use]
    pub fn new(title: Title) -> Self {
        Self {
            title,
            cost: None,
            asking: None,
            bought: None,
            note: None,
            bin: None,
            old: Vec::new(),
            bulk: Bulk::default(),
        }
    }
}

/// An item that was moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// The item's code, which stays where anything shows it.
    pub code: ItemCode,
    /// The code that it had, where it got one of its new bin.
    pub was: Option<ItemCode>,
    /// The bin that it was in; none if it waited for one, or had left.
    pub from: Option<BinCode>,
    /// The bin that it is in now.
    pub to: BinCode,
}

macro_rules! item_query {
    ($($tail:literal),+) => {
        concat!(
            "SELECT item.id, item.payload, item.title, item.cost, item.asking, item.bought, item.note, item.listed,
                item.state, item.gone, item.why_gone, item.volume, item.measures, item.size, item.grams,
                item.listing_code, bin.payload AS bin_payload, bin.stack, bin.area,
                area.name AS area_name, area.walk_order AS area_order,
                spot.id AS spot_id, spot.name AS spot_name, spot.walk_order,
                sale.day AS sold, sale.order_no, sale.picked
             FROM item LEFT JOIN bin ON bin.id = item.bin LEFT JOIN area ON area.number = bin.area
                LEFT JOIN spot ON spot.id = bin.spot
                LEFT JOIN sale ON sale.item = item.id AND sale.returned IS NULL ",
            $($tail),+
        )
    };
}
pub(super) use item_query;

impl Item {
    /// By the places of the columns in the query above: a look-up by name for each takes most of the time of a long list.
    pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let code: Option<String> = row.get(1)?;
        let bin: Option<String> = row.get(16)?;
        let listing_code: Option<String> = row.get(15)?;
        let stowed = |bin: String| {
            let (bin, place) = (bin_code(&bin)?, Place::at(row, 18)?);
            Ok::<_, rusqlite::Error>(Stowed { bin, place, stack: row.get(17)? })
        };
        Ok(Self {
            code: code.map(|code| item_code(&code)).transpose()?,
            title: row.get(2)?,
            stowed: bin.map(stowed).transpose()?,
            cost: money(row.get(3)?)?,
            asking: money(row.get(4)?)?,
            bought: date(row.get(5)?)?,
            note: row.get(6)?,
            listed: date(row.get(7)?)?,
            status: status(row.get_ref(8)?.as_str()?)?,
            sold: SoldAs::at(row, 24)?,
            gone: date(row.get(9)?)?,
            why_gone: row.get(10)?,
            bulk: Bulk::at(row, 11)?,
            listing_code: listing_code.map(|code| item_code(&code)).transpose()?,
            id: ItemId(row.get(0)?),
        })
    }
}

impl SoldAs {
    /// From the columns `sold`, `order_no`, `picked`, the first of which is here.
    fn at(row: &Row<'_>, first: usize) -> rusqlite::Result<Option<Self>> {
        let Some(day) = date(row.get(first)?)? else { return Ok(None) };
        Ok(Some(Self { day, order: row.get(first + 1)?, picked: date(row.get(first + 2)?)? }))
    }
}

pub(super) fn item_code(payload: &str) -> rusqlite::Result<ItemCode> {
    match StockCode::from_payload(payload) {
        Some(StockCode::Item(code)) => Ok(code),
        _ => Err(damaged(payload)),
    }
}

pub(super) fn money(minor: Option<i64>) -> rusqlite::Result<Option<Money>> {
    minor.map(|minor| Money::from_minor(minor).ok_or_else(|| damaged(&minor.to_string()))).transpose()
}

pub(super) fn date(text: Option<String>) -> rusqlite::Result<Option<Date>> {
    text.map(|text| text.parse().map_err(|_| damaged(&text))).transpose()
}

fn status(text: &str) -> rusqlite::Result<Status> {
    Status::by_word(text).ok_or_else(|| damaged(text))
}

impl Register {
    /// Enters items; each that goes into a bin gets its code at once, the others wait. All of them or none; with
    /// `import` the file that they come from is recorded in the same step.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::ImportedBefore`]; [`RegisterError::Code`] when
    /// a bin has used up its serials; [`RegisterError::OldCode`] for a label from before that can't be taken.
    pub fn add_items(&mut self, items: &[NewItem], import: Option<&NewImport>) -> Result<Vec<Item>, RegisterError> {
        self.enter(&Batch { new: items.to_vec(), import: import.cloned(), ..Batch::default() })
    }

    pub(super) fn item_by_payload(&self, payload: &str) -> Result<Option<Item>, RegisterError> {
        let sql = item_query!("JOIN name ON name.item = item.id WHERE name.payload = ?1");
        Ok(self.connection.prepare_cached(sql)?.query_row([payload], Item::from_row).optional()?)
    }

    /// The item of this number, in any state.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn item(&self, id: ItemId) -> Result<Option<Item>, RegisterError> {
        let sql = item_query!("WHERE item.id = ?1");
        Ok(self.connection.prepare_cached(sql)?.query_row([id.0], Item::from_row).optional()?)
    }

    /// Puts items into a bin; those that are in it already are left out of the answer. One that waited gets its code;
    /// one that was gone is there again.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::HasLeft`] for one that is sold and picked.
    pub fn move_items(&mut self, items: &[Item], to: BinCode) -> Result<(Vec<Move>, Option<ChangeId>), RegisterError> {
        let change = self.begin(&format!("put {} into {to}", named(items)))?;
        let target = super::bin::live_bin_in(&change, to)?;
        let mut moves = Vec::new();
        for item in items {
            moves.extend(move_in(&change, item, &target)?);
        }
        Ok((moves, change.commit()?))
    }
}

/// How a few items are called in the words for a change.
pub(super) fn named(items: &[Item]) -> String {
    match items {
        [only] => only.name(),
        [first, second] => format!("{} and {}", first.name(), second.name()),
        [first, rest @ ..] => format!("{} and {} more", first.name(), rest.len()),
        [] => "nothing".into(),
    }
}

pub(super) fn insert_in(
    change: &Change<'_>,
    target: Option<&mut Target>,
    item: &NewItem,
) -> Result<Item, RegisterError> {
    let minor = |money: Option<Money>| money.map(Money::minor);
    let (code, bin) = target.map(Target::next).transpose()?.unzip();
    let mut row = ItemRow {
        payload: code.map(ItemCode::payload),
        bin: bin.map(|bin| bin.id),
        title: item.title.as_str().to_owned(),
        cost: minor(item.cost),
        asking: minor(item.asking),
        bought: item.bought.map(|date| date.to_string()),
        note: item.note.as_ref().map(|note| note.as_str().to_owned()),
        entered: journal::today(),
        state: if bin.is_some() { "held" } else { "waiting" }.into(),
        listed: None,
        gone: None,
        why_gone: None,
        volume: None,
        measures: None,
        size: None,
        grams: None,
        listing_code: None,
    };
    item.bulk.put_into(&mut row);
    let id = change.insert("item added", &row)?.number();
    code.map_or(Ok(()), |code| name_in(change, code, id))?;
    let status = if bin.is_some() { Status::Held } else { Status::Waiting };
    let added = Item {
        code,
        title: row.title,
        stowed: bin.map(|bin| Stowed { bin: bin.code, place: bin.place.clone(), stack: bin.stack }),
        cost: item.cost,
        asking: item.asking,
        bought: item.bought,
        note: row.note,
        listed: None,
        status,
        sold: None,
        gone: None,
        why_gone: None,
        bulk: item.bulk.clone(),
        listing_code: None,
        id: ItemId(id),
    };
    for old in &item.old {
        super::old_name::add_in(change, &added, old)?;
    }
    Ok(added)
}

pub(super) fn name_in(change: &Change<'_>, code: ItemCode, item: i64) -> Result<(), RegisterError> {
    let sql = "INSERT INTO name (payload, item) VALUES (?1, ?2)";
    change.prepare_cached(sql)?.execute(params![code.payload(), item])?;
    Ok(())
}

/// Moves an item from the bin that it is in at this moment, which may no longer be the one it was read with. One whose
/// code nothing shows yet gets a code of its new bin.
pub(super) fn move_in(change: &Change<'_>, item: &Item, to: &Bin) -> Result<Option<Move>, RegisterError> {
    let sql = item_query!("WHERE item.id = ?1");
    let present = change.prepare_cached(sql)?.query_row([item.id.0], Item::from_row)?;
    let from = present.bin();
    if from == Some(to.code) {
        return Ok(None);
    }
    if matches!(present.status, Status::Picked | Status::Undone) {
        return Err(RegisterError::HasLeft { item: present.name(), status: present.status });
    }
    let code = match present.code {
        None => next_code_in(change, to)?,
        Some(code) if code.bin != to.code && is_code_unseen_in(change, &present)? => {
            code_of_bin_in(change, present.id, to)?
        }
        Some(code) => code,
    };
    change.rewrite::<ItemRow>("item moved", &item.id.0.into(), |row| {
        row.bin = Some(to.id);
        row.payload = Some(code.payload());
        if matches!(present.status, Status::Waiting | Status::Gone) {
            // One that was lost when it was to be picked is still sold.
            let state = if present.sold.is_some() { "sold" } else { "held" };
            (row.state, row.gone, row.why_gone) = (state.into(), None, None);
            row.listed = None;
        }
        Ok(())
    })?;
    if present.code.is_none() {
        name_in(change, code, item.id.0)?;
    }
    Ok(Some(Move { code, was: present.code.filter(|was| *was != code), from, to: to.code }))
}
