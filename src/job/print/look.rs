//! How labels look: what it takes, beside the register's data, to draw the same labels again.

use serde_json::{Value, json};

use crate::{label::SymbolChoice, symbol::SymbolKind};

/// How labels look. It goes into the register as JSON with each run, for a reprint.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Look {
    /// The symbol.
    pub symbol: SymbolChoice,
}

impl Look {
    /// As the register keeps it.
    #[must_use]
    pub fn to_json(&self) -> Value {
        json!({ "symbol": symbol_name(self.symbol) })
    }

    /// From what the register kept; what is not there, as in runs of an earlier version, is as usual.
    #[must_use]
    pub fn from_json(kept: &Value) -> Self {
        let symbol = kept["symbol"].as_str().and_then(SymbolKind::by_name);
        Self { symbol: symbol.map_or(SymbolChoice::Auto, SymbolChoice::Only) }
    }
}

fn symbol_name(choice: SymbolChoice) -> &'static str {
    match choice {
        SymbolChoice::Auto => "auto",
        SymbolChoice::Only(kind) => kind.name(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_comes_back() {
        let choices = [SymbolChoice::Auto, SymbolChoice::Only(SymbolKind::Qr), SymbolChoice::Only(SymbolKind::Code128)];
        for symbol in choices {
            assert_eq!(Look::from_json(&Look { symbol }.to_json()), Look { symbol });
        }
        assert_eq!(Look::from_json(&json!({})), Look::default());
    }
}
