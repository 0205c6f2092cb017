//! An item as it was typed on a form: each field with what is wrong with it.
//!
//! Start with [`Entry::read`]. What was typed stays in it, so that a form that is refused comes back as it was.

use std::fmt::Display;

use super::super::{sent::Sent, words::desk_words};
use crate::{
    exchange::parse_date,
    job::{Settings, SizeError, bin_by_text, size_by_text, sizes},
    register::{Bulk, NewItem, Register, RegisterError, Title},
    unit::{Measures, Volume, Weight},
};

/// A field of a form.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct EntryField {
    pub name: &'static str,
    pub label: String,
    /// How it is written, or what it is for.
    pub hint: &'static str,
    pub value: String,
    /// What is wrong with what was typed.
    pub fault: Option<String>,
    /// The keyboard that a phone shows.
    pub keys: &'static str,
    /// What can be chosen, where nothing is typed.
    pub choices: Vec<String>,
    /// The list of what is usual.
    pub list: &'static str,
}

/// All fields of an item.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    /// Those of every item.
    pub usual: Vec<EntryField>,
    /// Those of some.
    pub more: Vec<EntryField>,
    /// What is wrong with no field alone.
    pub fault: Option<String>,
}

impl EntryField {
    /// Whether it has this name.
    pub(super) fn is(&self, name: &str) -> bool {
        self.name == name
    }
}

const TITLE: &str = "title";

impl Entry {
    /// With what was sent so far.
    pub(super) fn new(register: &Register, sent: &Sent) -> Result<Self, RegisterError> {
        let currency = Settings::of(register)?.currency;
        let money = |name: &str| if currency.is_none() { name.into() } else { format!("{name} ({})", currency.code()) };
        let field = |name: &'static str, label: &str, hint: &'static str, keys: &'static str| EntryField {
            name,
            label: label.into(),
            hint,
            value: sent.one(name).into(),
            keys,
            ..EntryField::default()
        };
        let bin = EntryField { list: "bins", ..field("bin", "Bin", "", "text") };
        let names = sizes(register)?.into_iter().map(|size| size.name).collect();
        let size = EntryField { choices: names, ..field("size", "Size", "", "text") };
        Ok(Self {
            usual: vec![
                field(TITLE, "Title", "", "text"),
                field("bought", "Bought", "year-month-day", "text"),
                field("cost", &money("Cost"), "", "decimal"),
                field("asking", &money("Asking"), "", "decimal"),
                bin,
                field("note", "Note", "for yourself", "text"),
            ],
            more: vec![
                field("litres", "Litres", "what it takes up", "decimal"),
                field("measures", "Measures", "in cm, as 30x20x10", "text"),
                size,
                field("grams", "Grams", "", "decimal"),
                field("old", "Labels from before", "several parted by ;", "text"),
            ],
            fault: None,
        })
    }

    /// The item that it describes; `None` when a field is wrong, and each such field says why then.
    pub(super) fn read(&mut self, register: &Register) -> Result<Option<NewItem>, RegisterError> {
        let currency = Settings::of(register)?.currency;
        let title = self.needed(TITLE, Title::new);
        let bin = self.taken("bin", |text| {
            bin_by_text(register, text).and_then(|bin| {
                bin.require_live()?;
                Ok(bin.code)
            })
        });
        let size = self.taken("size", |name| Ok::<_, SizeError>(size_by_text(register, name)?.name));
        let item = NewItem {
            bought: self.taken("bought", parse_date),
            cost: self.taken("cost", |text| currency.parse(text)),
            asking: self.taken("asking", |text| currency.parse(text)),
            note: self.taken("note", Title::new),
            bin,
            old: self.old(),
            bulk: Bulk {
                volume: self.taken("litres", Volume::parse),
                measures: self.taken("measures", Measures::parse),
                size,
                weight: self.taken("grams", Weight::parse_grams),
            },
            ..NewItem::new(title.clone().map_or_else(|| Title::new("-"), Ok)?)
        };
        Ok(title.filter(|_| self.is_whole()).map(|_| item))
    }

    /// Puts what the register refused to the field that it is about.
    pub(super) fn refuse(&mut self, fault: &RegisterError) {
        let text = desk_words(&crate::job::with_causes(fault));
        let name = match fault {
            RegisterError::OldCode { .. } => "old",
            RegisterError::UnknownBin(_) | RegisterError::BinRetired { .. } | RegisterError::Code(_) => "bin",
            _ => "",
        };
        match self.field(name) {
            Some(field) => field.fault = Some(text),
            None => self.fault = Some(text),
        }
    }

    /// Whether nothing is wrong with any field.
    pub(super) fn is_whole(&self) -> bool {
        self.fault.is_none() && self.usual.iter().chain(&self.more).all(|field| field.fault.is_none())
    }

    /// Whether a field is filled that stands behind the fold.
    pub(super) fn has_more(&self) -> bool {
        self.more.iter().any(|field| !field.value.is_empty() || field.fault.is_some())
    }

    /// The field that is typed into first: the first one that is wrong, else the title.
    pub(super) fn first(&self) -> &'static str {
        let wrong = self.usual.iter().chain(&self.more).find(|field| field.fault.is_some());
        wrong.map_or(TITLE, |field| field.name)
    }

    fn old(&self) -> Vec<String> {
        let field = self.more.iter().find(|field| field.name == "old");
        let parts = field.into_iter().flat_map(|field| field.value.split(';'));
        parts.map(str::trim).filter(|part| !part.is_empty()).map(str::to_owned).collect()
    }

    fn taken<T, E: Display>(&mut self, name: &str, read: impl FnOnce(&str) -> Result<T, E>) -> Option<T> {
        if self.field(name)?.value.is_empty() { None } else { self.needed(name, read) }
    }

    fn needed<T, E: Display>(&mut self, name: &str, read: impl FnOnce(&str) -> Result<T, E>) -> Option<T> {
        let field = self.field(name)?;
        match read(&field.value) {
            Ok(value) => Some(value),
            Err(fault) => {
                field.fault = Some(desk_words(&fault.to_string()));
                None
            }
        }
    }

    fn field(&mut self, name: &str) -> Option<&mut EntryField> {
        self.usual.iter_mut().chain(&mut self.more).find(|field| field.name == name)
    }
}
