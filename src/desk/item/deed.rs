//! What can be done with an item, and which of it fits what has become of it.

use crate::register::{Item, Sale, Status};

/// Something that can be done with an item; each has a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Deed {
    Put,
    Edit,
    Listed,
    Sold,
    Amend,
    Return,
    Refund,
    Gone,
    Retag,
    Alias,
}

impl Deed {
    const ALL: [Self; 10] = [
        Self::Put,
        Self::Edit,
        Self::Listed,
        Self::Sold,
        Self::Amend,
        Self::Return,
        Self::Refund,
        Self::Gone,
        Self::Retag,
        Self::Alias,
    ];

    /// Its name in addresses.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Put => "put",
            Self::Edit => "edit",
            Self::Listed => "listed",
            Self::Sold => "sold",
            Self::Amend => "amend",
            Self::Return => "return",
            Self::Refund => "refund",
            Self::Gone => "gone",
            Self::Retag => "retag",
            Self::Alias => "alias",
        }
    }

    pub(super) fn by_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|deed| deed.name() == name)
    }

    /// What can be done with an item, the usual first.
    pub(super) fn of(item: &Item, last_sale: Option<&Sale>) -> Vec<Self> {
        let mut deeds = match item.status {
            Status::Held => vec![Self::Listed, Self::Put, Self::Sold],
            Status::Listed => vec![Self::Sold, Self::Put, Self::Listed],
            Status::Sold => vec![Self::Amend, Self::Put, Self::Return],
            Status::Picked => vec![Self::Return, Self::Amend],
            Status::Gone if item.sold.is_some() => vec![Self::Put, Self::Return, Self::Amend],
            Status::Waiting | Status::Gone => vec![Self::Put],
            Status::Undone => return Vec::new(),
        };
        if last_sale.is_some_and(|sale| sale.refundable().is_none_or(|left| left.minor() > 0)) {
            deeds.push(Self::Refund);
        }
        deeds.push(Self::Edit);
        if item.tag_shows().is_some() {
            deeds.push(Self::Retag);
        }
        deeds.push(Self::Alias);
        if !matches!(item.status, Status::Picked | Status::Gone) {
            deeds.push(Self::Gone);
        }
        deeds
    }
}
