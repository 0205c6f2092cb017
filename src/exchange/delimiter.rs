//! Which character parts the fields, taken from a `sep=` line or else from the headings.
//!
//! Start with [`Delimited::find`]. Only a comma, a semicolon and a tab are known.

/// In the order that settles a draw.
pub(super) const DELIMITERS: [u8; 3] = [b',', b';', b'\t'];

/// A text whose delimiter is settled.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Delimited<'a> {
    /// The text from its headings on.
    pub(super) text: &'a str,
    /// What parts the fields.
    pub(super) delimiter: u8,
    /// The line of the file on which `text` begins, from 1.
    pub(super) first_line: u64,
}

impl<'a> Delimited<'a> {
    /// Honours and skips a first line such as `sep=;`, or else takes what occurs most in the headings.
    pub(super) fn find(text: &'a str) -> Self {
        let (first, rest) = split_line(text);
        match first.as_bytes() {
            [name @ .., delimiter] if name.eq_ignore_ascii_case(b"sep=") && DELIMITERS.contains(delimiter) => {
                Self { text: rest, delimiter: *delimiter, first_line: 2 }
            }
            _ => Self { text, delimiter: most_frequent(text), first_line: 1 },
        }
    }
}

fn split_line(text: &str) -> (&str, &str) {
    let end = text.find(['\r', '\n']).unwrap_or(text.len());
    let (line, rest) = text.split_at(end);
    (line, rest.strip_prefix("\r\n").or_else(|| rest.strip_prefix(['\r', '\n'])).unwrap_or(rest))
}

/// Counts outside of quotes, in the first line that holds more than delimiters and blanks.
fn most_frequent(text: &str) -> u8 {
    let mut counts = [0_usize; DELIMITERS.len()];
    let (mut quoted, mut before, mut has_text) = (false, b'\n', false);
    for byte in text.bytes() {
        match DELIMITERS.iter().position(|delimiter| *delimiter == byte) {
            // A quote in the middle of a field is text, but two in a row reopen the field.
            _ if byte == b'"' => quoted = !quoted && (is_edge(before) || before == b'"'),
            _ if quoted => {}
            Some(at) => counts[at] += 1,
            None if is_line_end(byte) && has_text => break,
            None => has_text |= !byte.is_ascii_whitespace(),
        }
        has_text |= byte == b'"';
        before = byte;
    }
    let best = (1..counts.len()).fold(0, |best, at| if counts[at] > counts[best] { at } else { best });
    DELIMITERS[best]
}

fn is_line_end(byte: u8) -> bool {
    matches!(byte, b'\r' | b'\n')
}

/// Whether a field begins behind this byte.
fn is_edge(byte: u8) -> bool {
    is_line_end(byte) || DELIMITERS.contains(&byte)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_headings_tell_the_delimiter() {
        let cases = [
            ("title,cost\nPan;Pot;Lid,3", b','),
            ("title;cost\r\nPan, Pot, Lid;3", b';'),
            ("title\tcost\rPan, Pot;3", b'\t'),
            ("title", b','),
            ("", b','),
            ("\"a,b,c\";title\n", b';'),
            ("\"a\n,,,\"\"\";title\n", b';'),
            ("size 12\";title\na,b,c\n", b';'),
            (";;;\n\n,;title,x,y,z\n", b','),
            (" \n;;;\n;title\n,,,,\n", b';'),
        ];
        for (text, delimiter) in cases {
            let found = Delimited::find(text);
            assert_eq!(found, Delimited { text, delimiter, first_line: 1 }, "{text:?}");
        }
    }

    #[test]
    fn a_sep_line_is_honoured_and_counted() {
        for (text, delimiter) in [("sep=;\ntitle", b';'), ("sep=,\r\ntitle", b','), ("SEP=\t\rtitle", b'\t')] {
            assert_eq!(Delimited::find(text), Delimited { text: "title", delimiter, first_line: 2 }, "{text:?}");
        }
        for text in ["sep=|\ntitle", "sep=\ntitle", "sep=é\ntitle", "sep=;;\ntitle"] {
            assert_eq!(Delimited::find(text).first_line, 1, "{text:?}");
        }
    }
}
