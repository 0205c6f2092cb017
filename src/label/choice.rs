//! Which symbols go on a label, and what they say.

use crate::{code::LinkBase, symbol::SymbolKind};

/// Which symbol to put on a label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SymbolChoice {
    /// Code 128 where its aimed-for module fits, else QR.
    #[default]
    Auto,
    /// This one.
    Only(SymbolKind),
    /// Code 128 for a laser reader and QR for a phone, both at their aimed-for module at least.
    Both,
}

/// The symbols of a label: which, and whether a QR is a link. From a [`SymbolChoice`] alone, it is none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Symbols<'a> {
    /// Which.
    pub choice: SymbolChoice,
    /// The address that a QR leads to. Code 128 always carries the bare code.
    pub link: Option<&'a LinkBase>,
}

impl From<SymbolChoice> for Symbols<'_> {
    fn from(choice: SymbolChoice) -> Self {
        Self { choice, link: None }
    }
}

impl Symbols<'_> {
    /// What a symbol of this kind says.
    #[must_use]
    pub fn text(&self, payload: &str, kind: SymbolKind) -> String {
        match (kind, self.link) {
            (SymbolKind::Qr, Some(base)) => base.link(payload),
            _ => payload.to_owned(),
        }
    }
}
