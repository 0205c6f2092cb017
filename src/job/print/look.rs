//! How labels look: what it takes, beside the register's data, to draw the same labels again.

use serde_json::{Value, json};

use crate::{
    code::LinkBase,
    label::{SymbolChoice, Symbols},
    symbol::SymbolKind,
    unit::{Mm, Weight},
};

/// How labels look. It goes into the register as JSON with each run, for a reprint.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Look {
    /// The symbol.
    pub symbol: SymbolChoice,
    /// The address before the code in a QR, which then is a link.
    pub link: Option<LinkBase>,
    /// From how far signs are to be read; else from 3 m.
    pub read_from: Option<Mm>,
    /// What kind of things are inside, for signs.
    pub inside: Option<String>,
    /// A note, for signs and tags.
    pub note: Option<String>,
    /// The guide weight of a lift with the tub, for signs; the limit of what is in a bin stands behind it.
    pub guide: Option<Weight>,
    /// What a tag shows beside its title.
    pub show: Vec<Field>,
}

/// What a tag can show beside code and title.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// What is asked for the item.
    Asking,
    /// When it was bought.
    Bought,
    /// What it cost.
    Cost,
}

impl Field {
    const ALL: [Self; 3] = [Self::Asking, Self::Bought, Self::Cost];

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Asking => "asking",
            Self::Bought => "bought",
            Self::Cost => "cost",
        }
    }

    /// The field of this name.
    #[must_use]
    pub fn by_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|field| field.name() == name)
    }
}

/// What a user says of how labels look; what is not said stays as it is.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LookWish {
    /// The symbol.
    pub symbol: Option<SymbolChoice>,
    /// The address before the code in a QR.
    pub link: Option<LinkBase>,
    /// From how far signs are to be read.
    pub read_from: Option<Mm>,
    /// What kind of things are inside.
    pub inside: Option<String>,
    /// A note.
    pub note: Option<String>,
    /// The guide weight of a lift with the tub.
    pub guide: Option<Weight>,
    /// What a tag shows beside its title; none says nothing.
    pub show: Vec<Field>,
}

impl LookWish {
    /// Gives a look what is said of it.
    pub fn put_onto(&self, look: &mut Look) {
        look.symbol = self.symbol.unwrap_or(look.symbol);
        replace(&mut look.link, self.link.as_ref());
        replace(&mut look.read_from, self.read_from.as_ref());
        replace(&mut look.inside, self.inside.as_ref());
        replace(&mut look.note, self.note.as_ref());
        replace(&mut look.guide, self.guide.as_ref());
        if !self.show.is_empty() {
            look.show.clone_from(&self.show);
        }
    }

    /// The look of labels that had none before.
    #[must_use]
    pub fn look(&self) -> Look {
        let mut look = Look::default();
        self.put_onto(&mut look);
        look
    }
}

fn replace<T: Clone>(part: &mut Option<T>, given: Option<&T>) {
    if let Some(given) = given {
        *part = Some(given.clone());
    }
}

impl Look {
    /// The symbols of a label.
    pub(super) fn symbols(&self) -> Symbols<'_> {
        Symbols { choice: self.symbol, link: self.link.as_ref() }
    }

    /// As the register keeps it; what is as usual is left out.
    #[must_use]
    pub fn to_json(&self) -> Value {
        let mut kept = json!({ "symbol": symbol_name(self.symbol) });
        let show: Vec<&str> = self.show.iter().map(|field| field.name()).collect();
        let parts = [
            ("link", self.link.as_ref().map(|link| json!(link.to_string()))),
            ("read_from_mm", self.read_from.map(|far| json!(far))),
            ("inside", self.inside.as_ref().map(|text| json!(text))),
            ("note", self.note.as_ref().map(|text| json!(text))),
            ("guide_grams", self.guide.map(|weight| json!(weight.grams()))),
            ("show", (!show.is_empty()).then(|| json!(show))),
        ];
        for (name, value) in parts {
            if let Some(value) = value {
                kept[name] = value;
            }
        }
        kept
    }

    /// From what the register kept; what is not there, as in runs of an earlier version, is as usual.
    #[must_use]
    pub fn from_json(kept: &Value) -> Self {
        let text = |name: &str| kept[name].as_str().map(str::to_owned);
        let show = kept["show"].as_array().into_iter().flatten().filter_map(Value::as_str);
        Self {
            symbol: kept["symbol"].as_str().map_or(SymbolChoice::Auto, symbol_by_name),
            link: kept["link"].as_str().and_then(|link| link.parse().ok()),
            read_from: kept["read_from_mm"].as_f64().map(Mm),
            inside: text("inside"),
            note: text("note"),
            guide: kept["guide_grams"].as_i64().and_then(Weight::from_grams),
            show: show.filter_map(Field::by_name).collect(),
        }
    }
}

fn symbol_name(choice: SymbolChoice) -> &'static str {
    match choice {
        SymbolChoice::Auto => "auto",
        SymbolChoice::Both => "both",
        SymbolChoice::Only(kind) => kind.name(),
    }
}

fn symbol_by_name(name: &str) -> SymbolChoice {
    match (name, SymbolKind::by_name(name)) {
        ("both", _) => SymbolChoice::Both,
        (_, Some(kind)) => SymbolChoice::Only(kind),
        _ => SymbolChoice::Auto,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_comes_back() {
        let choices = [
            SymbolChoice::Auto,
            SymbolChoice::Both,
            SymbolChoice::Only(SymbolKind::Qr),
            SymbolChoice::Only(SymbolKind::Code128),
        ];
        for symbol in choices {
            let look = Look {
                symbol,
                link: Some("http://192.168.1.20:8080".parse().unwrap()),
                read_from: Some(Mm(5000.0)),
                inside: Some("copper, enamel".into()),
                note: Some("“fragile”".into()),
                guide: Weight::from_grams(10_200),
                show: vec![Field::Cost, Field::Asking],
            };
            assert_eq!(Look::from_json(&look.to_json()), look);
            let plain = Look { symbol, ..Look::default() };
            assert_eq!(Look::from_json(&plain.to_json()), plain);
        }
        assert_eq!(Look::from_json(&json!({})), Look::default());
    }
}
