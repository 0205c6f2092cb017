//! What is chosen on the Labels page, as it stands in the address.
//!
//! Start with [`Choices::of`]. Nothing is looked up here; what makes no sense is told where the pages would be.

use axum::{extract::Query, http::Uri};

use super::super::{answer::Refusal, words::desk_words};
use crate::{
    code::LinkBase,
    job::{Choice, Field, LookWish, PrintWish, Settings},
    label::SymbolChoice,
    register::RunKind,
    sheet::Turn,
    symbol::SymbolKind,
    unit::Mm,
};

/// More of one label than anyone sticks.
const MOST_COPIES: u16 = 500;

/// Which labels of a kind are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Which {
    /// Those that have none yet.
    #[default]
    Waiting,
    /// Those that are wrong now.
    Stale,
    /// Those in a bin.
    Bin,
    /// Those in an area.
    Area,
    /// Those that are named.
    Codes,
    /// All.
    All,
}

impl Which {
    fn by_name(name: &str) -> Option<Self> {
        Some(match name {
            "waiting" => Self::Waiting,
            "stale" => Self::Stale,
            "bin" => Self::Bin,
            "area" => Self::Area,
            "codes" => Self::Codes,
            "all" => Self::All,
            _ => return None,
        })
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Stale => "stale",
            Self::Bin => "bin",
            Self::Area => "area",
            Self::Codes => "codes",
            Self::All => "all",
        }
    }
}

/// All that is chosen.
#[derive(Debug, Clone)]
pub(super) struct Choices {
    /// As it stands in the address.
    pub query: String,
    pub what: RunKind,
    pub which: Which,
    pub bin: String,
    pub area: String,
    pub codes: String,
    /// A run of which labels are printed again, and on which of its pages and slots they are.
    pub run: String,
    pub at: Vec<String>,
    pub sheet: String,
    /// The size of labels to be cut out of plain paper.
    pub cut: String,
    pub symbol: String,
    pub show: Vec<String>,
    pub note: String,
    pub inside: String,
    pub read_from: String,
    pub copies: String,
    pub printer: String,
    pub rotate: String,
    pub link: String,
    pub is_fresh: bool,
    /// The sheet whose slots were said to be used, or not.
    pub on: String,
    pub used: Vec<u32>,
    /// Something changed while the pages were looked at.
    pub has_changed: bool,
}

/// What the address adds when nothing was printed because something had changed.
pub(super) const CHANGED: &str = "changed=yes";

impl Choices {
    /// What stands in the query of an address.
    pub(super) fn of(query: &str) -> Result<Self, Refusal> {
        let query = query.replace(&format!("&{CHANGED}"), "");
        let unread = || Refusal::input("This address can't be read. Begin anew on the Labels page.");
        let uri: Uri = format!("/?{query}").parse().map_err(|_| unread())?;
        let Query(pairs) = Query::<Vec<(String, String)>>::try_from_uri(&uri).map_err(|_| unread())?;
        Ok(Self::from_pairs(query, &pairs))
    }

    fn from_pairs(query: String, pairs: &[(String, String)]) -> Self {
        let all = |name: &'static str| pairs.iter().filter(move |(key, _)| key == name).map(|(_, value)| value.trim());
        let text = |name| all(name).next().unwrap_or_default().to_owned();
        let (bin, area, codes) = (text("bin"), text("area"), text("codes"));
        let meant = match () {
            () if !codes.is_empty() => Which::Codes,
            () if !bin.is_empty() => Which::Bin,
            () if !area.is_empty() => Which::Area,
            () => Which::Waiting,
        };
        let what = RunKind::by_name(&text("what")).unwrap_or(RunKind::Tags);
        let usual = if meant == Which::Waiting && has_no_waiting(what) { Which::All } else { meant };
        Self {
            query,
            what,
            which: Which::by_name(&text("which")).unwrap_or(usual),
            bin,
            area,
            codes,
            run: text("run"),
            at: all("at").map(str::to_owned).collect(),
            sheet: text("sheet"),
            cut: text("cut"),
            symbol: text("symbol"),
            show: all("show").map(str::to_owned).collect(),
            note: text("note"),
            inside: text("inside"),
            read_from: text("read_from"),
            copies: text("copies"),
            printer: text("printer"),
            rotate: text("rotate"),
            link: text("link"),
            is_fresh: !text("fresh").is_empty(),
            on: text("on"),
            used: all("used").filter_map(|slot| slot.parse().ok()).collect(),
            has_changed: false,
        }
    }

    /// Whether labels of a run are printed again.
    pub(super) fn is_again(&self) -> bool {
        !self.run.is_empty()
    }

    /// Which labels of the kind are meant; without those that are wrong.
    pub(super) fn choice(&self) -> Result<Choice, Refusal> {
        let given = |text: &str, wanted: &str| if text.is_empty() { Err(Refusal::input(wanted)) } else { Ok(()) };
        Ok(match self.which {
            Which::Waiting if !has_no_waiting(self.what) => Choice::Waiting,
            Which::Waiting | Which::Stale | Which::All => Choice::All,
            Which::Bin => {
                given(&self.bin, "Which bin? Type its code, such as 4A.")?;
                match self.what {
                    RunKind::Tags => Choice::Within(self.bin.clone()),
                    _ => Choice::Of(vec![self.bin.clone()]),
                }
            }
            Which::Area => {
                given(&self.area, "Which area? Choose one.")?;
                Choice::InArea(self.area.clone())
            }
            Which::Codes => {
                let codes = self.codes.split([' ', ',', ';', '\n', '\r', '\t']).filter(|code| !code.is_empty());
                let codes: Vec<String> = codes.map(str::to_owned).collect();
                given(&codes.concat(), "Which ones? Type their codes, with blanks between them.")?;
                Choice::Of(codes)
            }
        })
    }

    /// What is said of the looks.
    pub(super) fn look(&self) -> Result<LookWish, Refusal> {
        let is_tag = self.what == RunKind::Tags;
        let is_sign = matches!(self.what, RunKind::Signs | RunKind::Lids);
        let text = |text: &str, counts: bool| (counts && !text.is_empty()).then(|| text.to_owned());
        let link = (!self.link.is_empty() && (is_tag || is_sign)).then(|| self.link.parse::<LinkBase>()).transpose()?;
        let far = text(&self.read_from, is_sign).map(|far| Mm::parse_distance(&far)).transpose()?;
        Ok(LookWish {
            symbol: symbol(&self.symbol).filter(|_| is_tag || is_sign),
            link,
            read_from: far,
            inside: text(&self.inside, is_sign),
            note: text(&self.note, is_tag || is_sign),
            guide: None,
            show: self.show.iter().filter(|_| is_tag).filter_map(|name| Field::by_name(name)).collect(),
        })
    }

    /// What is said of the run, but for its slots.
    pub(super) fn wish(&self, settings: &Settings) -> Result<PrintWish, Refusal> {
        let given = |text: &String| (!text.is_empty()).then(|| text.clone());
        let turn = given(&self.rotate).and_then(|degrees| degrees.parse().ok()).and_then(Turn::by_degrees);
        Ok(PrintWish {
            sheet: self.sheet_name(settings)?,
            printer: given(&self.printer),
            turn,
            copies: given(&self.copies).map(|text| copies(&text)).transpose()?,
            ..PrintWish::default()
        })
    }

    /// The sheet that is chosen; `None` for the usual one.
    pub(super) fn sheet_name(&self, settings: &Settings) -> Result<Option<String>, Refusal> {
        match self.sheet.as_str() {
            "" => Ok(None),
            "cut" if self.cut.is_empty() => {
                Err(Refusal::input("How large are the labels to cut? Type width and height in millimetres, as 90x55."))
            }
            "cut" => {
                let size = self.cut.replace([' ', '×'], "x").replace("xxx", "x").replace("xx", "x");
                Ok(Some(format!("cut-{}-{size}", settings.paper.name())))
            }
            name => Ok(Some(name.to_owned())),
        }
    }
}

/// Strips and signs of areas are not remembered as missing.
pub(super) fn has_no_waiting(what: RunKind) -> bool {
    matches!(what, RunKind::Strips | RunKind::Areas)
}

fn symbol(name: &str) -> Option<SymbolChoice> {
    match name {
        "both" => Some(SymbolChoice::Both),
        name => SymbolKind::by_name(name).map(SymbolChoice::Only),
    }
}

fn copies(text: &str) -> Result<u16, Refusal> {
    let number = text.parse().ok().filter(|number| (1..=MOST_COPIES).contains(number));
    number.ok_or_else(|| {
        Refusal::input(desk_words(&format!(
            "`{text}` is no number of copies; give a whole number from 1 to {MOST_COPIES}"
        )))
    })
}
