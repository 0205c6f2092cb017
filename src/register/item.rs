//! Items: one-off things for sale, each in a bin.

use jiff::civil::Date;
use rusqlite::{OptionalExtension, Row, Transaction, TransactionBehavior, params};
use serde::Serialize;
use serde_json::json;

use super::{
    Bin, Place, Register, RegisterError, Title,
    bin::{bin_code, damaged},
    import::{NewImport, record_in},
    journal::{self, Entry},
    title::spelt_out,
};
use crate::{
    code::{BinCode, ItemCode, Serial, StockCode},
    unit::Money,
};

/// What has become of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Status {
    /// In its bin.
    Held,
}

/// An item as the register knows it.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its present code.
    pub code: ItemCode,
    /// What it is.
    pub title: String,
    /// The bin that it is in.
    pub bin: BinCode,
    /// Where that bin stands.
    pub place: Place,
    /// What it cost.
    pub cost: Option<Money>,
    /// What is asked for it.
    pub asking: Option<Money>,
    /// When it was bought.
    pub bought: Option<Date>,
    /// What has become of it.
    pub status: Status,
    pub(super) id: ItemId,
}

impl Item {
    /// The key under which other methods of the register take it.
    #[must_use]
    pub fn id(&self) -> ItemId {
        self.id
    }
}

/// The register's own key of an item.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub(super) i64);

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
}

/// An item that was moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// The item's code, which stays.
    pub code: ItemCode,
    /// The bin that it was in.
    pub from: BinCode,
    /// The bin that it is in now.
    pub to: BinCode,
}

macro_rules! item_query {
    ($tail:literal) => {
        concat!(
            "SELECT item.id, item.payload, item.title, item.cost, item.asking, item.bought, item.state,
                bin.payload AS bin_payload, bin.area, area.name AS area_name,
                spot.id AS spot_id, spot.name AS spot_name, spot.walk_order
             FROM item JOIN bin ON bin.id = item.bin JOIN area ON area.number = bin.area
                LEFT JOIN spot ON spot.id = bin.spot ",
            $tail
        )
    };
}
pub(super) use item_query;

impl Item {
    pub(super) fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            code: item_code(&row.get::<_, String>("payload")?)?,
            title: row.get("title")?,
            bin: bin_code(&row.get::<_, String>("bin_payload")?)?,
            place: Place::from_row(row)?,
            cost: money(row.get("cost")?)?,
            asking: money(row.get("asking")?)?,
            bought: date(row.get("bought")?)?,
            status: status(&row.get::<_, String>("state")?)?,
            id: ItemId(row.get("id")?),
        })
    }
}

fn item_code(payload: &str) -> rusqlite::Result<ItemCode> {
    match StockCode::from_payload(payload) {
        Some(StockCode::Item(code)) => Ok(code),
        _ => Err(damaged(payload)),
    }
}

fn money(minor: Option<i64>) -> rusqlite::Result<Option<Money>> {
    minor.map(|minor| Money::from_minor(minor).ok_or_else(|| damaged(&minor.to_string()))).transpose()
}

fn date(text: Option<String>) -> rusqlite::Result<Option<Date>> {
    text.map(|text| text.parse().map_err(|_| damaged(&text))).transpose()
}

fn status(text: &str) -> rusqlite::Result<Status> {
    if text == "held" { Ok(Status::Held) } else { Err(damaged(text)) }
}

impl Register {
    /// Enters items into a bin; each gets its code at once. All of them or none; with `import` the
    /// file that they come from is recorded in the same step.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`]; [`RegisterError::ImportedBefore`]; [`RegisterError::Code`] when
    /// the bin has used up its serials.
    pub fn add_items(
        &mut self,
        bin: BinCode,
        items: &[NewItem],
        import: Option<&NewImport>,
    ) -> Result<Vec<Item>, RegisterError> {
        let bin = self.bin(bin)?;
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        import.map_or(Ok(()), |import| record_in(&tx, import, items.len()))?;
        let first: u32 = tx.query_row("SELECT next_serial FROM bin WHERE id = ?1", [bin.id], |row| row.get(0))?;
        let mut serial = first;
        let mut added = Vec::with_capacity(items.len());
        for item in items {
            let code = ItemCode { bin: bin.code, serial: Serial::new(serial)? };
            added.push(insert_in(&tx, &bin, code, item)?);
            serial += 1;
        }
        tx.execute("UPDATE bin SET next_serial = ?2 WHERE id = ?1", params![bin.id, serial])?;
        tx.commit()?;
        Ok(added)
    }

    pub(super) fn item_by_payload(&self, payload: &str) -> Result<Option<Item>, RegisterError> {
        let sql = item_query!("JOIN name ON name.item = item.id WHERE name.payload = ?1");
        Ok(self.connection.prepare_cached(sql)?.query_row([payload], Item::from_row).optional()?)
    }

    /// Items by the code of their bin and then as they were entered: all, those of a bin, those for
    /// which no finished run has printed a tag.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`].
    pub fn items(&self, bin: Option<BinCode>, only_untagged: bool) -> Result<Vec<Item>, RegisterError> {
        let bin = bin.map(|code| self.bin(code)).transpose()?.map(|bin| bin.id);
        let sql = item_query!(
            "WHERE (?1 IS NULL OR item.bin = ?1) AND (NOT ?2 OR NOT EXISTS (
                SELECT 1 FROM label JOIN run ON run.id = label.run 
                    WHERE label.item = item.id AND run.state = 'done' AND run.kind = 'tags'))
             ORDER BY bin.area, bin.rank, item.id"
        );
        let mut query = self.connection.prepare(sql)?;
        let items = query.query_map(params![bin, only_untagged], Item::from_row)?;
        Ok(items.collect::<Result<_, _>>()?)
    }

    /// Puts items into a bin; those that are in it already are left out of the answer.
    ///
    /// # Errors
    /// [`RegisterError::UnknownBin`].
    pub fn move_items(&mut self, items: &[Item], to: BinCode) -> Result<Vec<Move>, RegisterError> {
        let target = self.bin(to)?;
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut moves = Vec::new();
        for item in items {
            moves.extend(move_in(&tx, item, &target)?);
        }
        tx.commit()?;
        Ok(moves)
    }
}

fn insert_in(tx: &Transaction<'_>, bin: &Bin, code: ItemCode, item: &NewItem) -> Result<Item, RegisterError> {
    let payload = code.payload();
    let minor = |money: Option<Money>| money.map(Money::minor);
    let bought = item.bought.map(|date| date.to_string());
    let mut insert = tx.prepare_cached(
        "INSERT INTO item (payload, bin, title, words, cost, asking, bought) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?;
    let title = item.title.as_str();
    let id = insert.insert(params![
        payload,
        bin.id,
        title,
        spelt_out(title),
        minor(item.cost),
        minor(item.asking),
        bought
    ])?;
    tx.prepare_cached("INSERT INTO name (payload, item) VALUES (?1, ?2)")?.execute(params![payload, id])?;
    let after = Some(json!({"code": code.to_string(), "bin": bin.code.to_string(), "title": title,
        "cost": minor(item.cost), "asking": minor(item.asking), "bought": bought}));
    journal::write_in(tx, &Entry { action: "item added", item: Some(id), bin: Some(bin.id), after, before: None })?;
    Ok(Item {
        code,
        title: title.to_owned(),
        bin: bin.code,
        place: bin.place.clone(),
        cost: item.cost,
        asking: item.asking,
        bought: item.bought,
        status: Status::Held,
        id: ItemId(id),
    })
}

/// Moves an item from the bin that it is in at this moment, which may no longer be the one it was read with.
fn move_in(tx: &Transaction<'_>, item: &Item, to: &Bin) -> Result<Option<Move>, RegisterError> {
    let sql = "SELECT bin.payload FROM item JOIN bin ON bin.id = item.bin WHERE item.id = ?1";
    let from = tx.query_row(sql, [item.id.0], |row| bin_code(&row.get::<_, String>(0)?))?;
    if from == to.code {
        return Ok(None);
    }
    tx.execute("UPDATE item SET bin = ?2 WHERE id = ?1", params![item.id.0, to.id])?;
    journal::write_in(
        tx,
        &Entry {
            action: "item moved",
            item: Some(item.id.0),
            bin: Some(to.id),
            before: Some(json!({"bin": from.to_string()})),
            after: Some(json!({"bin": to.code.to_string()})),
        },
    )?;
    Ok(Some(Move { code: item.code, from, to: to.code }))
}
