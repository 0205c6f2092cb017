//! The labels that can be printed: whose each is, how it is drawn, what it says.
//!
//! A new kind of label is a variant of [`LabelJob`] and its arms here.

use serde_json::{Value, json};

use super::Look;
use crate::{
    code::StockCode,
    label::{Drawn, LabelError, Sign, Stock, Tag},
    plan::walking_order,
    register::{Bin, Found, Item, LabelOf, Place, RunKind},
};

/// A label to be printed.
#[derive(Debug, Clone, PartialEq)]
pub enum LabelJob {
    /// An item's tag.
    Tag(Item),
    /// A bin's sign.
    Sign(Bin),
}

impl LabelJob {
    /// The label of a kind for what was found; `None` when it has none of that kind.
    #[must_use]
    pub fn new(kind: RunKind, found: Found) -> Option<Self> {
        match (kind, found) {
            (RunKind::Tags, Found::Item(item)) => Some(Self::Tag(item)),
            (RunKind::Signs, Found::Bin(bin)) => Some(Self::Sign(bin)),
            _ => None,
        }
    }

    /// What its symbol carries.
    #[must_use]
    pub fn payload(&self) -> String {
        match self {
            Self::Tag(item) => item.code.payload(),
            Self::Sign(bin) => bin.code.payload(),
        }
    }

    /// The key by which labels come in walking order.
    pub(super) fn order(&self) -> impl Ord + use<> {
        let key = |place: &Place, bin, code| {
            walking_order(place.area, place.spot.as_ref().map(|spot| spot.walk_order), bin, code)
        };
        match self {
            Self::Tag(item) => key(&item.place, item.bin, StockCode::Item(item.code)),
            Self::Sign(bin) => key(&bin.place, bin.code, StockCode::Bin(bin.code)),
        }
    }

    /// Its drawings, one a label position.
    pub(super) fn draw(&self, stock: &Stock, look: &Look) -> Result<Vec<Drawn>, LabelError> {
        let drawn = match self {
            Self::Tag(item) => tag(item).draw(stock, look.symbol)?,
            Self::Sign(bin) => sign(bin).draw(stock, look.symbol)?,
        };
        Ok(vec![drawn])
    }

    /// Whose it is.
    pub(super) fn of(&self) -> LabelOf<'_> {
        match self {
            Self::Tag(item) => LabelOf::Item(item),
            Self::Sign(bin) => LabelOf::Bin(bin),
        }
    }

    /// What it says, as the register keeps it.
    pub(super) fn said(&self) -> Value {
        match self {
            Self::Tag(item) => {
                json!({"code": item.code.to_string(), "bin": item.bin.to_string(), "title": item.title})
            }
            Self::Sign(bin) => {
                let sign = sign(bin);
                json!({"code": bin.code.to_string(), "area_name": sign.area_name, "spot": sign.spot})
            }
        }
    }
}

fn tag(item: &Item) -> Tag {
    Tag { code: item.code, title: item.title.clone() }
}

fn sign(bin: &Bin) -> Sign {
    let spot = bin.place.spot.as_ref().map(|spot| spot.name.clone());
    Sign { code: bin.code, area_name: bin.place.area_name.clone(), spot }
}
