//! Refused rows as a file to mend and to read again.
//!
//! Start with [`to_csv`]. Each row keeps the number of fields it had and has its reason behind them, so that a row
//! with too few or too many is refused again until someone has mended it.

use super::{
    delimiter::DELIMITERS,
    guard::{guard, unguard},
    headings::{Headings, REFUSED_BECAUSE},
    mapping::Mapping,
};

/// Fields and reasons under the headings of their file: UTF-8 with a byte order mark, CRLF, quotes as in RFC 4180.
pub(super) fn to_csv<'a>(
    headings: &Headings,
    mapping: &Mapping,
    rows: impl Iterator<Item = (&'a [String], &'a str)>,
) -> Vec<u8> {
    let delimiter = headings.delimiter;
    let is_amount: Vec<bool> = (0..headings.names.len()).map(|column| mapping.is_amount(column)).collect();
    let is_amount = |column: usize| is_amount.get(column).copied().unwrap_or_default();
    // Spreadsheets read UTF-8 without the mark as the local code page.
    let mut csv = String::from('\u{feff}');
    let names = headings.names.iter().map(|heading| safe(heading)).collect();
    push_row(&mut csv, delimiter, names, REFUSED_BECAUSE);
    for (fields, reason) in rows {
        let fields = fields.iter().enumerate().map(|(column, field)| safe_in(is_amount(column), field)).collect();
        push_row(&mut csv, delimiter, fields, reason);
    }
    csv.into_bytes()
}

fn push_row(csv: &mut String, delimiter: u8, mut fields: Vec<String>, last: &str) {
    fields.push(guard(last).into_owned());
    let quoted: Vec<String> = fields.iter().map(|field| quote(field)).collect();
    csv.push_str(&quoted.join(char::from(delimiter).encode_utf8(&mut [0; 4])));
    csv.push_str("\r\n");
}

/// All delimiters are quoted, not only the one in use: those in the headings must not mislead the next reader.
fn quote(field: &str) -> String {
    let needs_quotes = |byte| DELIMITERS.contains(&byte) || matches!(byte, b'"' | b'\r' | b'\n');
    if field.bytes().any(needs_quotes) { format!("\"{}\"", field.replace('"', "\"\"")) } else { field.to_owned() }
}

/// A number needs no guard, but a refused amount may be anything.
fn safe_in(is_amount: bool, field: &str) -> String {
    if is_amount && is_number(field) { field.to_owned() } else { safe(field) }
}

/// Guarded once, also if it came guarded.
fn safe(field: &str) -> String {
    guard(&unguard(field)).into_owned()
}

fn is_number(field: &str) -> bool {
    let bare = field.strip_prefix(['-', '+']).unwrap_or(field);
    bare.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' '))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exchange::BUYS;

    fn written(headings: &[&str], delimiter: u8, fields: &[&str], reason: &str) -> String {
        let [headings, fields] =
            [headings, fields].map(|list| list.iter().map(ToString::to_string).collect::<Vec<_>>());
        let mapping = Mapping::find(&BUYS, &headings, &[], None).unwrap();
        let headings = Headings::new(&headings, delimiter);
        String::from_utf8(to_csv(&headings, &mapping, [(fields.as_slice(), reason)].into_iter())).unwrap()
    }

    /// RFC 4180 section 2, rules 1 and 5 to 7; the mark is for spreadsheets.
    #[test]
    fn fields_are_quoted_where_they_must_be() {
        let csv = written(&["Item", "a,b", "note"], b';', &["12\" pan", "x\r\ny", "a;b"], "because");
        let expected = "\u{feff}Item;\"a,b\";note;refused because\r\n\"12\"\" pan\";\"x\r\ny\";\"a;b\";because\r\n";
        assert_eq!(csv, expected);
    }

    /// OWASP, "CSV Injection"; CWE-1236.
    #[test]
    fn formulas_are_guarded_and_numbers_are_not() {
        let cases = [
            (["=1+1", "-3"], "'=1+1,-3,r"),
            (["'=1+1", "+3.50"], "'=1+1,+3.50,r"),
            (["''=1", "3"], "''=1,3,r"),
            (["-1", "=1+1"], "'-1,'=1+1,r"),
            (["'70s fondue set", "-A1"], "'70s fondue set,'-A1,r"),
        ];
        for (fields, expected) in cases {
            let csv = written(&["title", "cost"], b',', &fields, "r");
            assert_eq!(csv.lines().nth(1), Some(expected), "{fields:?}");
        }
        assert!(written(&["title", "=x"], b',', &[], "@r").ends_with("title,'=x,refused because\r\n'@r\r\n"));
    }
}
