//! Rows held against the register: what is new, what changes, and what can't be.

use std::collections::HashMap;

use super::ImportNote;
use crate::{
    code::{BinCode, Origin, Read, StockCode, read},
    exchange::{BuyRow, Fault, Mapping},
    job::{ReferenceError, bin_by_text, item_by_text, size::size_among, sizes},
    plan::NamedSize,
    register::{
        Bulk, BulkEdit, Edit, Found, Item, ItemChange, ItemEdit, ItemId, NewItem, OldCode, Register, RegisterError,
        Status, Title,
    },
};

/// What a row is to the register.
#[derive(Debug)]
pub(super) enum Row {
    /// A new item.
    New(Box<NewItem>),
    /// An item that is there, and differs.
    Change(Box<ItemChange>),
    /// An item that is there as it is.
    Same,
}

/// Looks rows up, each bin once.
pub(super) struct Settler<'r> {
    register: &'r Register,
    has: Has,
    sizes: Vec<NamedSize>,
    code_heading: String,
    bin: Option<BinCode>,
    bins: HashMap<String, Result<BinCode, String>>,
    /// The lines on which items and labels from before were met.
    items: HashMap<ItemId, u64>,
    old: HashMap<String, u64>,
    pub(super) notes: Vec<ImportNote>,
}

/// Which columns there are: an empty cell takes a value away, a missing column leaves it.
#[expect(clippy::struct_excessive_bools, reason = "columns are there or not, each by itself")]
#[derive(Clone, Copy)]
struct Has {
    cost: bool,
    asking: bool,
    bought: bool,
    note: bool,
    litres: bool,
    measures: bool,
    size: bool,
    grams: bool,
}

impl<'r> Settler<'r> {
    pub(super) fn new(register: &'r Register, mapping: &Mapping, bin: Option<BinCode>) -> Result<Self, RegisterError> {
        let [cost, asking, bought, note] =
            ["cost", "asking", "bought", "note"].map(|field| mapping.column(field).is_some());
        let [litres, whole, length, size, grams] =
            ["litres", "measures", "length", "size", "grams"].map(|field| mapping.column(field).is_some());
        let measures = whole || length;
        Ok(Self {
            register,
            has: Has { cost, asking, bought, note, litres, measures, size, grams },
            sizes: sizes(register)?,
            code_heading: mapping.heading("code").unwrap_or_default().to_owned(),
            bin,
            bins: HashMap::new(),
            items: HashMap::new(),
            old: HashMap::new(),
            notes: Vec::new(),
        })
    }

    /// What a row is, or all that is wrong with it.
    pub(super) fn settle(&mut self, line: u64, mut row: BuyRow) -> Result<Result<Row, Vec<Fault>>, RegisterError> {
        let mut faults = Vec::new();
        let item = match &row.code {
            Some(code) => self.item(line, code)?.map_err(|fault| faults.push(("code", fault))).ok(),
            None => None,
        };
        let bin = match &row.bin {
            Some(bin) => self.bin(bin)?.map_err(|fault| faults.push(("bin", fault))).ok(),
            None => None,
        };
        if let Some(name) = row.bulk.size.take() {
            row.bulk.size = self.size(&name, item.as_ref()).map_err(|fault| faults.push(("size", fault))).ok();
        }
        let id = item.as_ref().map(Item::id);
        let mut old = Vec::new();
        for code in &row.old {
            match self.old_code(line, id, code)? {
                Ok(true) => {}
                Ok(false) => old.push(code.clone()),
                Err(fault) => faults.push(("old", fault)),
            }
        }
        if !faults.is_empty() {
            return Ok(Err(faults));
        }
        Ok(Ok(match item {
            Some(item) => self.change(line, item, &row, bin, old),
            None => self.new_item(row, bin, old),
        }))
    }

    fn new_item(&self, row: BuyRow, bin: Option<BinCode>, old: Vec<String>) -> Row {
        // A row without a code and a title was refused when it was read.
        let Some(title) = row.title else { return Row::Same };
        Row::New(Box::new(NewItem {
            title,
            cost: row.cost,
            asking: row.asking,
            bought: row.bought,
            note: row.note,
            bin: bin.or(self.bin),
            old,
            bulk: row.bulk,
        }))
    }

    fn item(&mut self, line: u64, code: &str) -> Result<Result<Item, String>, RegisterError> {
        let item = match self.known_item(code)? {
            Ok(item) => item,
            Err(fault) => return Ok(Err(fault)),
        };
        if item.status == Status::Undone {
            return Ok(Err(format!("the entry of {} was taken back", item.name())));
        }
        let first = *self.items.entry(item.id()).or_insert(line);
        if first != line {
            return Ok(Err(format!("{} stands on line {first} already", item.name())));
        }
        Ok(Ok(item))
    }

    fn known_item(&self, code: &str) -> Result<Result<Item, String>, RegisterError> {
        if let Read::Code(code @ StockCode::Item(_)) = read(code, Origin::Scanned)
            && let Some(Found::Item(item)) = self.register.look_up(code)?
        {
            return Ok(Ok(item));
        }
        match item_by_text(self.register, code) {
            Ok(item) => Ok(Ok(item)),
            Err(ReferenceError::Register(fault)) => Err(fault),
            Err(ReferenceError::Unknown { near, .. }) if near.is_empty() => Ok(Err(format!(
                "there is no item `{code}`; leave the cell empty for a new one, or say --map old=\"{}\" if the column \
                 holds codes of your own",
                self.code_heading
            ))),
            Err(fault) => Ok(Err(fault.to_string())),
        }
    }

    fn bin(&mut self, text: &str) -> Result<Result<BinCode, String>, RegisterError> {
        if let Some(known) = self.bins.get(text) {
            return Ok(known.clone());
        }
        let found = match bin_by_text(self.register, text) {
            Ok(bin) => bin.require_live().map(|()| bin.code).map_err(|fault| fault.to_string()),
            Err(ReferenceError::Register(fault)) => return Err(fault),
            Err(ReferenceError::Unknown { near, .. }) if near.is_empty() => {
                Err(format!("there is no bin `{text}`; `stowmark bin list` shows all"))
            }
            Err(fault) => Err(fault.to_string()),
        };
        self.bins.insert(text.to_owned(), found.clone());
        Ok(found)
    }

    /// The size of this name. One that was taken back stays with the items that have it.
    fn size(&self, name: &str, item: Option<&Item>) -> Result<String, String> {
        let is_as_it_was = item.is_some_and(|item| item.bulk.size.as_deref() == Some(name));
        match size_among(&self.sizes, name) {
            Ok(size) => Ok(size.name),
            Err(_) if is_as_it_was => Ok(name.to_owned()),
            Err(fault) => Err(fault.to_string()),
        }
    }

    /// Whether a label from before stands for this item already, or why it can't.
    fn old_code(&mut self, line: u64, item: Option<ItemId>, old: &str) -> Result<Result<bool, String>, RegisterError> {
        if is_cut_number(old) {
            return Ok(Err(format!(
                "`{old}` is a number that a spreadsheet has shortened; make its column text and enter it again"
            )));
        }
        Ok(match self.register.check_old_code(item, old)? {
            Err(why) => Err(format!("`{old}` can't be taken: {why}")),
            Ok(OldCode { key, is_known }) => {
                let first = *self.old.entry(key).or_insert(line);
                if first == line { Ok(is_known) } else { Err(format!("`{old}` stands on line {first} already")) }
            }
        })
    }

    fn change(&mut self, line: u64, item: Item, row: &BuyRow, bin: Option<BinCode>, old: Vec<String>) -> Row {
        let (edit, mut bin) = (self.edit(&item, row), bin.filter(|bin| item.bin() != Some(*bin)));
        if matches!(item.status, Status::Sold | Status::Picked | Status::Gone) && bin.take().is_some() {
            self.notes.push(ImportNote::BinLeft { line, item: item.name(), status: item.status });
        }
        let is_same = edit.is_empty() && bin.is_none() && old.is_empty();
        if is_same { Row::Same } else { Row::Change(Box::new(ItemChange { item, edit, bin, old })) }
    }

    /// What differs.
    fn edit(&self, item: &Item, row: &BuyRow) -> ItemEdit {
        let Has { cost, asking, bought, note, .. } = self.has;
        let title = row.title.clone().filter(|title| title.as_str() != item.title);
        let is_same_note = row.note.as_ref().map(Title::as_str) == item.note.as_deref();
        ItemEdit {
            title,
            cost: Edit::where_it(cost && row.cost != item.cost, row.cost),
            asking: Edit::where_it(asking && row.asking != item.asking, row.asking),
            bought: Edit::where_it(bought && row.bought != item.bought, row.bought),
            note: Edit::where_it(note && !is_same_note, row.note.clone()),
            bulk: self.bulk_edit(&item.bulk, &row.bulk),
        }
    }

    fn bulk_edit(&self, known: &Bulk, row: &Bulk) -> BulkEdit {
        let Has { litres, measures, size, grams, .. } = self.has;
        let named = row.size.as_deref().and_then(|size| Title::new(size).ok());
        BulkEdit {
            volume: Edit::where_it(litres && row.volume != known.volume, row.volume),
            measures: Edit::where_it(measures && row.measures != known.measures, row.measures),
            size: Edit::where_it(size && row.size != known.size, named),
            weight: Edit::where_it(grams && row.weight != known.weight, row.weight),
        }
    }
}

/// `4.01235E+12`, as a spreadsheet writes a long number whose digits it has thrown away.
fn is_cut_number(text: &str) -> bool {
    let Some((number, power)) = text.split_once(['E', 'e']) else { return false };
    let is_number =
        |part: &str| part.contains(['.', ',']) && part.bytes().all(|b| b.is_ascii_digit() || b == b'.' || b == b',');
    is_number(number) && power.strip_prefix('+').is_some_and(|power| power.parse::<u8>().is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_were_cut_are_known() {
        for text in ["4.01235E+12", "4,01E+12", "1.0e+10"] {
            assert!(is_cut_number(text), "{text}");
        }
        for text in ["4E12", "E+12", "4.E-1", "K1.2", "4012345678901", "", "1.E"] {
            assert!(!is_cut_number(text), "{text}");
        }
    }
}
