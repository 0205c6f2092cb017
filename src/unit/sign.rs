//! What stands before or behind an amount and says its currency: `€`, `EUR`, `kr`, `US$`.
//!
//! From memory, as common use is; what is not known here makes an amount malformed, and is never passed over.

use super::Currency;

/// Codes that are met in lists of other people; a register's own code is known anyway (ISO 4217).
const CODES: [&str; 30] = [
    "AUD", "BGN", "BRL", "CAD", "CHF", "CNY", "CZK", "DKK", "EUR", "GBP", "HKD", "HUF", "INR", "ISK", "JPY", "KRW",
    "MXN", "NOK", "NZD", "PLN", "RON", "RSD", "SEK", "SGD", "THB", "TRY", "TWD", "UAH", "USD", "ZAR",
];

/// Signs in small letters without dots, and the currencies that are written so.
const SIGNS: [(&str, &[&str]); 22] = [
    ("€", &["EUR"]),
    ("£", &["GBP", "GIP", "FKP", "SHP", "EGP"]),
    ("¥", &["JPY", "CNY"]),
    ("₹", &["INR"]),
    ("rs", &["INR"]),
    ("₺", &["TRY"]),
    ("₴", &["UAH"]),
    ("₩", &["KRW"]),
    ("kr", &["SEK", "NOK", "DKK", "ISK"]),
    ("zł", &["PLN"]),
    ("kč", &["CZK"]),
    ("ft", &["HUF"]),
    ("lei", &["RON"]),
    ("fr", &["CHF"]),
    ("sfr", &["CHF"]),
    ("r", &["ZAR"]),
    ("r$", &["BRL"]),
    ("us$", &["USD"]),
    ("a$", &["AUD"]),
    ("au$", &["AUD"]),
    ("c$", &["CAD"]),
    ("nz$", &["NZD"]),
];

/// Dollars and pesos that don't end in D.
const OTHER_DOLLARS: [&str; 6] = ["MXN", "ARS", "CLP", "COP", "UYU", "BRL"];

/// Whether a sign may stand for the currency; `None` when it is no sign at all. Without a currency any will do.
pub(super) fn fits(sign: &str, currency: &Currency) -> Option<bool> {
    let (own, is_none) = (currency.code(), currency.is_none());
    let bare = sign.replace('.', "").to_lowercase();
    let code = bare.to_uppercase();
    if sign.is_empty() || code == own {
        return Some(true);
    }
    if CODES.contains(&code.as_str()) {
        return Some(is_none);
    }
    if bare == "$" {
        return Some(is_none || own.ends_with('D') || OTHER_DOLLARS.contains(&own));
    }
    let known = SIGNS.iter().find(|(known, _)| *known == bare).map(|(_, codes)| codes.contains(&own) || is_none);
    // Of rarer signs nothing is known but that they are some.
    known.or_else(|| is_rare(&bare).then_some(true))
}

fn is_rare(sign: &str) -> bool {
    let mut chars = sign.chars();
    matches!((chars.next(), chars.next()), (Some('฿' | '\u{20a0}'..='\u{20cf}'), None))
}
