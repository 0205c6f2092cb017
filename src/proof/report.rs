//! What is expected of a file, and what was found.

use super::KindReport;
use crate::{
    label::PlacedSymbol,
    sheet::{Page, Placed},
    symbol::SymbolKind,
    unit::{Dots, Dpi, Point, Size},
};

/// A symbol that is to be read.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// Page, counted from 1.
    pub page: usize,
    /// Slot, counted from 1.
    pub slot: u32,
    /// Top left corner of where to look, on the page of the file.
    pub at: Point,
    /// Size of where to look.
    pub size: Size,
    /// What that is.
    pub extent: Extent,
    /// The symbology.
    pub kind: SymbolKind,
    /// What the symbol should say.
    pub text: String,
    /// Whether a link whose last part is the text will do as well: a recorded run tells the code alone.
    pub or_link: bool,
}

/// Where a symbol is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// Somewhere on a label, or a little beside it.
    Label,
    /// In just the place of the symbol with its quiet zones; elsewhere is wrong.
    Symbol,
}

impl Expected {
    /// The symbol of a label that was laid out, in just its place on the upright page.
    #[must_use]
    pub fn of_symbol(page: usize, placed: &Placed, symbol: &PlacedSymbol, text: &str, dpi: Dpi) -> Self {
        let quiet = symbol.symbol.quiet_modules() * symbol.x.0;
        let above = if symbol.symbol.kind() == SymbolKind::Qr { quiet } else { 0 };
        let from = |edge: Dots, quiet: u32| dpi.length(edge) - dpi.length(Dots(quiet));
        Self {
            page,
            slot: placed.slot,
            at: Point { x: placed.at.x + from(symbol.left, quiet), y: placed.at.y + from(symbol.top, above) },
            size: Size {
                width: symbol.symbol.width_with_quiet(symbol.x, dpi),
                height: dpi.length(Dots(symbol.height.0 + 2 * above)),
            },
            extent: Extent::Symbol,
            kind: symbol.symbol.kind(),
            text: text.to_owned(),
            or_link: false,
        }
    }

    /// Whether a symbol that says this is the right one.
    #[must_use]
    pub fn is_said_by(&self, text: &str) -> bool {
        text == self.text || self.or_link && text.rsplit_once('/').is_some_and(|(_, last)| last == self.text)
    }
}

/// All symbols of pages that were laid out. `text` gives what one should say, from the number of its label, counted
/// from 0 over all pages, and the symbol.
pub fn expected(pages: &[Page], text: impl Fn(usize, &PlacedSymbol) -> String) -> Vec<Expected> {
    let labels = pages.iter().zip(1..).flat_map(|(page, number)| page.placed.iter().map(move |it| (page, number, it)));
    let symbols = labels.enumerate().flat_map(|(label, (page, number, placed))| {
        placed.drawing.symbols().map(move |symbol| (label, page, number, placed, symbol))
    });
    symbols
        .map(|(label, page, number, placed, symbol)| {
            let upright = Expected::of_symbol(number, placed, symbol, &text(label, symbol), page.dpi);
            let (at, size) = page.in_file(upright.at, upright.size);
            Expected { at, size, ..upright }
        })
        .collect()
}

/// What is wrong with a symbol.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wrong {
    /// Nothing was read.
    Unread,
    /// It says something else.
    Says(String),
    /// It can be read, but not all of its dots are as they should be.
    Modules,
    /// It can be read, but something dark stands too near.
    QuietZone,
    /// It stands elsewhere.
    Moved,
}

impl Wrong {
    /// What was read instead of what should have been.
    #[must_use]
    pub fn read(&self) -> Option<&str> {
        match self {
            Self::Says(text) => Some(text),
            _ => None,
        }
    }
}

impl std::fmt::Display for Wrong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Unread => f.write_str("can't be read"),
            Self::Says(text) => write!(f, "says `{text}`"),
            Self::Modules => f.write_str("can be read, but some of its bars or squares are damaged"),
            Self::QuietZone => f.write_str("can be read, but something dark stands in its quiet zone"),
            Self::Moved => f.write_str("can be read, but is not in its place"),
        }
    }
}

/// A symbol that is not as it should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Which.
    pub expected: Expected,
    /// What is wrong.
    pub wrong: Wrong,
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Expected { page, slot, kind, text, .. } = &self.expected;
        write!(f, "page {page}, slot {slot}: the {kind} of `{text}` {}", self.wrong)
    }
}

/// What was found in a file.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Report {
    /// How many symbols were looked at.
    pub symbols: usize,
    /// Whether each of their dots was compared, as it is at the resolution that the file was made for.
    pub every_dot: bool,
    /// Those that are not as they should be, in the order of the file.
    pub faults: Vec<Fault>,
    /// The kinds of the others, in the order of the file.
    pub kinds: Vec<KindReport>,
}

impl Report {
    /// The report itself when all is as it should be.
    ///
    /// # Errors
    /// [`Refused`] with all faults.
    pub fn passed(self) -> Result<Self, Refused> {
        if self.faults.is_empty() { Ok(self) } else { Err(Refused { symbols: self.symbols, faults: self.faults }) }
    }
}

/// Why a run is not printed: some symbols are not as they should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// How many symbols were looked at.
    pub symbols: usize,
    /// Those at fault, at least one.
    pub faults: Vec<Fault>,
}

/// More faults would push the reason off the screen.
const MOST_FAULTS: usize = 5;

impl std::fmt::Display for Refused {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{} of {} symbols read back from the finished file are not as they should be",
            self.faults.len(),
            self.symbols
        )?;
        for fault in self.faults.iter().take(MOST_FAULTS) {
            write!(f, "\n  {fault}")?;
        }
        match self.faults.len().saturating_sub(MOST_FAULTS) {
            0 => Ok(()),
            more => write!(f, "\n  … and {more} more"),
        }
    }
}

impl std::error::Error for Refused {}

#[cfg(test)]
mod tests {
    use super::*;

    fn fault(slot: u32, wrong: Wrong) -> Fault {
        let expected = Expected {
            page: 1,
            slot,
            at: Point::default(),
            size: Size::new(38.1, 21.2),
            extent: Extent::Label,
            kind: SymbolKind::Qr,
            text: "4A001F".into(),
            or_link: true,
        };
        Fault { expected, wrong }
    }

    #[test]
    fn links_stand_for_their_code() {
        let expected = fault(1, Wrong::Unread).expected;
        for text in ["4A001F", "HTTP://10.0.0.7:8080/S/4A001F"] {
            assert!(
                expected.is_said_by(text)
                    && (text.len() == 6) == Expected { or_link: false, ..expected.clone() }.is_said_by(text)
            );
        }
        for text in ["", "4A001", "4A001F/", "HTTP://10.0.0.7:8080/S/14A001F", "HTTP://4A001F"] {
            assert_eq!(expected.is_said_by(text), text == "HTTP://4A001F", "{text}");
        }
    }

    #[test]
    fn a_refusal_names_each_symbol_and_what_it_says() {
        let faults = vec![fault(3, Wrong::Says("4A001G".into())), fault(7, Wrong::Unread)];
        let refused = Report { symbols: 65, faults, ..Report::default() }.passed().unwrap_err().to_string();
        assert_eq!(
            refused,
            "2 of 65 symbols read back from the finished file are not as they should be\n  page 1, slot 3: the QR of \
             `4A001F` says `4A001G`\n  page 1, slot 7: the QR of `4A001F` can't be read"
        );
        let many = Report { symbols: 9, faults: vec![fault(1, Wrong::Moved); 9], ..Report::default() };
        assert!(many.passed().unwrap_err().to_string().ends_with("\n  … and 4 more"));
    }
}
