//! What was typed into a form of the page, read field by field.

use std::collections::BTreeMap;

use jiff::civil::Date;
use serde::Deserialize;

use crate::{
    desk::answer::Refusal,
    exchange::parse_date,
    register::Edit,
    unit::{Currency, Money},
};

/// The fields of a form as they were sent; `was.NAME` is what stood in a field when the page was made.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(transparent)]
pub(super) struct Typed(BTreeMap<String, String>);

impl Typed {
    /// What stands in a field.
    pub(super) fn text(&self, name: &str) -> Option<&str> {
        self.0.get(name).map(|text| text.trim())
    }

    /// What stands in a field that has something in it.
    pub(super) fn given(&self, name: &str) -> Option<&str> {
        self.text(name).filter(|text| !text.is_empty())
    }

    /// Whether the user changed what stood in a field.
    pub(super) fn is_changed(&self, name: &str) -> bool {
        self.text(name) != self.text(&format!("was.{name}"))
    }

    /// What was typed into a field that has to have something in it.
    pub(super) fn needed(&self, name: &str, lack: &str) -> Result<&str, Refusal> {
        self.given(name).ok_or_else(|| Refusal::input(lack))
    }

    /// What was typed, read.
    pub(super) fn read<T, E: std::error::Error>(
        &self,
        name: &str,
        label: &str,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Result<Option<T>, Refusal> {
        self.given(name).map(|text| read(text).map_err(|fault| named(label, fault))).transpose()
    }

    pub(super) fn amount(&self, name: &str, label: &str, currency: &Currency) -> Result<Option<Money>, Refusal> {
        self.read(name, label, |text| currency.parse(text))
    }

    pub(super) fn date(&self, name: &str, label: &str) -> Result<Option<Date>, Refusal> {
        self.read(name, label, parse_date)
    }

    /// What is to become of what stood in a field: an empty one takes it away, one that was left alone keeps it.
    pub(super) fn edit<T, E: std::error::Error>(
        &self,
        name: &str,
        label: &str,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Result<Edit<T>, Refusal> {
        match self.text(name) {
            Some(_) if self.is_changed(name) => Ok(self.read(name, label, read)?.map_or(Edit::Clear, Edit::Set)),
            _ => Ok(Edit::Keep),
        }
    }
}

/// A refusal that says which field it is about.
fn named<E: std::error::Error>(label: &str, fault: E) -> Refusal {
    let refusal = Refusal::from(fault);
    Refusal { text: format!("{label}: {}", refusal.text), ..refusal }
}
