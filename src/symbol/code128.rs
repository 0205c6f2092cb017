//! Code 128 with the shortest choice of code sets, encoded by `barcoders`.

use barcoders::sym::code128::Code128;

use super::{SymbolError, SymbolKind};

/// A symbol longer than this is no label's.
const LONGEST: usize = 80;

/// A code set of Code 128.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CodeSet {
    /// Capitals and controls.
    A,
    /// All of printable ASCII.
    B,
    /// Pairs of digits.
    C,
}

impl CodeSet {
    /// The letter that `barcoders` takes for a switch to this set.
    fn marker(self) -> char {
        match self {
            Self::A => 'À',
            Self::B => 'Ɓ',
            Self::C => 'Ć',
        }
    }
}

/// A Code 128 symbol: a dark or light module each, from the first bar to the last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Linear {
    modules: Vec<bool>,
}

impl Linear {
    pub(super) fn encode(text: &str) -> Result<Self, SymbolError> {
        encode_segments(&shortest_segments(text)?)
    }

    /// Dark is `true`.
    #[must_use]
    pub fn modules(&self) -> &[bool] {
        &self.modules
    }

    /// The dark bars: first module and width in modules.
    #[must_use]
    pub fn bars(&self) -> Vec<(usize, usize)> {
        let mut bars: Vec<(usize, usize)> = Vec::new();
        for (at, _) in self.modules.iter().enumerate().filter(|(_, dark)| **dark) {
            match bars.last_mut() {
                Some((start, width)) if *start + *width == at => *width += 1,
                _ => bars.push((at, 1)),
            }
        }
        bars
    }
}

/// Encodes a text that is already cut into code sets; in set C the digits must be even in number.
///
/// # Errors
/// [`SymbolError`] when there is nothing to encode, or when a segment does not fit its set.
pub fn encode_segments(segments: &[(CodeSet, &str)]) -> Result<Linear, SymbolError> {
    let joined: String = segments.iter().map(|(_, text)| *text).collect();
    refuse(&joined)?;
    let marked: String =
        segments.iter().flat_map(|(set, text)| std::iter::once(set.marker()).chain(text.chars())).collect();
    let encoded = Code128::new(&marked).map_err(|_| SymbolError::TooLong(joined, SymbolKind::Code128))?;
    Ok(Linear { modules: encoded.encode().iter().map(|module| *module == 1).collect() })
}

fn refuse(text: &str) -> Result<(), SymbolError> {
    if let Some(other) = text.chars().find(|c| !matches!(c, ' '..='~')) {
        return Err(SymbolError::NotAscii(other));
    }
    match text.len() {
        0 => Err(SymbolError::Empty),
        1..=LONGEST => Ok(()),
        _ => Err(SymbolError::TooLong(text.to_owned(), SymbolKind::Code128)),
    }
}

/// The shortest cut of a text into code sets B and C. Set A is never shorter: B has all that may
/// stand here.
///
/// Works from the end: the symbol characters still needed from each place in either set.
///
/// # Errors
/// [`SymbolError`] when the text is empty, too long or not printable ASCII.
pub fn shortest_segments(text: &str) -> Result<Vec<(CodeSet, &str)>, SymbolError> {
    refuse(text)?;
    let needed = needed_from_each_place(text.as_bytes());
    let mut set = if needed.c[0] < needed.b[0] { CodeSet::C } else { CodeSet::B };
    let (mut segments, mut start, mut at) = (Vec::new(), 0, 0);
    while at < text.len() {
        let (stay, switch) =
            if set == CodeSet::C { (needed.c[at], needed.b[at]) } else { (needed.b[at], needed.c[at]) };
        if at > start && switch < stay {
            segments.push((set, &text[start..at]));
            set = if set == CodeSet::C { CodeSet::B } else { CodeSet::C };
            start = at;
        }
        at += if set == CodeSet::C { 2 } else { 1 };
    }
    segments.push((set, &text[start..]));
    Ok(segments)
}

/// Symbol characters from each place to the end, when the set there is B or C.
struct Needed {
    b: Vec<usize>,
    c: Vec<usize>,
}

fn needed_from_each_place(text: &[u8]) -> Needed {
    const NEVER: usize = usize::MAX / 2;
    let mut needed = Needed { b: vec![0; text.len() + 1], c: vec![0; text.len() + 1] };
    for at in (0..text.len()).rev() {
        let pair = text.get(at..at + 2).is_some_and(|pair| pair.iter().all(u8::is_ascii_digit));
        let in_b = 1 + needed.b[at + 1];
        let in_c = if pair { 1 + needed.c[at + 2] } else { NEVER };
        needed.b[at] = in_b.min(in_c + 1);
        needed.c[at] = in_c.min(in_b + 1);
    }
    needed
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sets(text: &str) -> Vec<(CodeSet, &str)> {
        shortest_segments(text).unwrap()
    }

    #[test]
    fn digits_go_in_pairs_where_that_is_shorter() {
        assert_eq!(sets("345678"), [(CodeSet::C, "345678")]);
        assert_eq!(sets("HI345678"), [(CodeSet::B, "HI"), (CodeSet::C, "345678")]);
        assert_eq!(sets("4A001F"), [(CodeSet::B, "4A001F")]);
        assert_eq!(sets("12345A"), [(CodeSet::C, "1234"), (CodeSet::B, "5A")]);
    }

    #[test]
    fn markers_and_other_letters_are_no_commands() {
        for marker in ['À', 'Ɓ', 'Ć', 'ü', '\n'] {
            assert_eq!(shortest_segments(&format!("4A{marker}")), Err(SymbolError::NotAscii(marker)));
        }
        assert_eq!(shortest_segments(""), Err(SymbolError::Empty));
        assert!(matches!(shortest_segments(&"7".repeat(81)), Err(SymbolError::TooLong(..))));
    }
}
