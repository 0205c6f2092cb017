//! The forms of an item's page: their fields, what stands in them, and what comes back of what was typed.

use super::{deed::Deed, typed::Typed};
use crate::{
    job::{RetagCost, cost_text},
    register::{Item, Sale, Status},
    unit::{Currency, Money},
};

/// A form.
#[derive(Debug)]
pub(super) struct Form {
    pub deed: Deed,
    pub title: String,
    pub button: String,
    /// What is to be known before it is sent.
    pub intro: Option<String>,
    pub fields: Vec<Field>,
    /// Bins that can be chosen by a button, with what is said of them.
    pub bins: Vec<(String, String)>,
    pub is_open: bool,
    /// Why nothing was done with it.
    pub refusal: Option<String>,
}

impl Form {
    /// The field that is typed into first: the one that was refused, else the first.
    pub(super) fn first(&self) -> Option<&'static str> {
        let refusal = self.refusal.as_deref().unwrap_or_default();
        let label = refusal.split_once(": ").map(|(label, _)| label.to_lowercase());
        let quoted = refusal.split(['`', '“', '”']).nth(1).filter(|text| !text.is_empty());
        let by_label = label.and_then(|label| {
            let fits = |exact: bool| self.fields.iter().find(|field| field.is_called(&label, exact));
            fits(true).or_else(|| fits(false))
        });
        let by_text = || self.fields.iter().find(|field| quoted.is_some_and(|text| field.value.contains(text)));
        by_label.or_else(by_text).or(self.fields.first()).map(|field| field.name)
    }
}

/// How a field is typed into.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    Text,
    Amount,
    Number,
    Date,
    Bin,
    Size,
}

/// A field.
#[derive(Debug)]
pub(super) struct Field {
    pub name: &'static str,
    pub label: String,
    pub kind: Kind,
    pub value: String,
    /// What stood in it when the page was made.
    pub was: String,
    /// What is there now, where something else was typed.
    pub now: Option<String>,
    pub hint: Option<String>,
    pub needed: bool,
    pub whole: bool,
}

impl Field {
    fn new(name: &'static str, label: impl Into<String>, kind: Kind, value: String) -> Self {
        let (was, whole) = (value.clone(), false);
        Self { name, label: label.into(), kind, value, was, now: None, hint: None, needed: false, whole }
    }

    /// Whether a refusal that begins with these small letters is about it.
    fn is_called(&self, label: &str, exact: bool) -> bool {
        let own = self.label.to_lowercase();
        if exact { own.split(" (").next() == Some(label) } else { own.contains(label) }
    }

    fn needed(self) -> Self {
        Self { needed: true, ..self }
    }

    fn whole(self) -> Self {
        Self { whole: true, ..self }
    }

    fn hint(self, hint: impl Into<String>) -> Self {
        Self { hint: Some(hint.into()), ..self }
    }

    /// What was typed comes back; a field that was left alone shows what is there now.
    fn back(mut self, typed: &Typed) -> Self {
        if let Some(text) = typed.text(self.name).filter(|_| typed.is_changed(self.name)) {
            let is_other = text != self.value && typed.text(&format!("was.{}", self.name)) != Some(self.value.as_str());
            self.now = is_other.then(|| if self.value.is_empty() { "nothing".into() } else { self.value.clone() });
            text.clone_into(&mut self.value);
        }
        self
    }

    /// The type of its input.
    pub(super) fn input(&self) -> &'static str {
        if self.kind == Kind::Date { "date" } else { "text" }
    }

    /// The keys that a phone shows for it.
    pub(super) fn keys(&self) -> &'static str {
        if matches!(self.kind, Kind::Amount | Kind::Number) { "decimal" } else { "text" }
    }

    pub(super) fn is_bin(&self) -> bool {
        self.kind == Kind::Bin
    }

    pub(super) fn is_size(&self) -> bool {
        self.kind == Kind::Size
    }
}

/// What forms are made from.
#[derive(Debug)]
pub(super) struct Stuff<'a> {
    pub item: &'a Item,
    /// The last sale.
    pub sale: Option<&'a Sale>,
    pub currency: &'a Currency,
    /// What a new code would cost.
    pub cost: RetagCost,
    pub today: String,
    /// Bins with room for it, with what is said of them.
    pub bins: Vec<(String, String)>,
}

impl Stuff<'_> {
    /// The form of something that can be done; `back` is what was refused of it, and what was typed.
    pub(super) fn form(&self, deed: Deed, back: Option<&(String, Typed)>) -> Form {
        let (title, button) = self.words(deed);
        let fields = self.fields(deed).into_iter();
        let fields = match back {
            Some((_, typed)) => fields.map(|field| field.back(typed)).collect(),
            None => fields.collect(),
        };
        let bins = if matches!(deed, Deed::Put | Deed::Return) { self.bins.clone() } else { Vec::new() };
        let refusal = back.map(|(refusal, _)| refusal.clone());
        Form {
            deed,
            title: title.into(),
            button: button.into(),
            intro: self.intro(deed),
            fields,
            bins,
            is_open: false,
            refusal,
        }
    }

    fn words(&self, deed: Deed) -> (&'static str, &'static str) {
        match (deed, self.item.status) {
            (Deed::Put, Status::Waiting) => ("Put it into a bin", "Put it there"),
            (Deed::Put, Status::Gone) => ("It is there again", "Put it there"),
            (Deed::Put, _) => ("Put it elsewhere", "Put it there"),
            (Deed::Edit, _) => ("Correct what is known", "Save"),
            (Deed::Listed, Status::Listed) if self.item.listing_code.is_some() => {
                ("Its listing is corrected", "The listing shows its new code")
            }
            (Deed::Listed, Status::Listed) => ("Change its listing", "Save"),
            (Deed::Listed, _) => ("It is listed", "Mark as listed"),
            (Deed::Sold, _) => ("It is sold", "Mark as sold"),
            (Deed::Amend, _) => ("Correct the sale", "Save"),
            (Deed::Return, _) => ("It came back", "Take it back in"),
            (Deed::Refund, _) => ("Give money back", "Note the refund"),
            (Deed::Gone, _) => ("It is lost, broken or given away", "Mark as gone"),
            (Deed::Retag, _) => ("Give it a code of its bin", "Give it a new code"),
            (Deed::Alias, _) => ("Add a label from before", "Add it"),
        }
    }

    fn intro(&self, deed: Deed) -> Option<String> {
        let moved = self.item.tag_shows().zip(self.item.bin());
        match (deed, moved) {
            (Deed::Retag, Some((shown, bin))) => Some(format!(
                "Its code names {shown}, and it is in {bin}. The old code goes on finding it, so nothing has to be done. \
                 A new code would mean {} to renew.",
                cost_text(&self.cost)
            )),
            (Deed::Sold, _) => {
                Some("It stays in its bin until it is picked. What is left empty counts as not known.".into())
            }
            (Deed::Return, _) => Some("It keeps its code, and is not listed then.".into()),
            (Deed::Refund, _) => Some("For money that is given back without the item coming back.".into()),
            (Deed::Alias, _) => Some("It is found by that label too, for ever.".into()),
            (Deed::Listed, _) => {
                let shows = self.item.listing_code.filter(|_| self.item.status == Status::Listed)?;
                Some(format!("Its listing still shows {shows}. Correct it there first."))
            }
            _ => None,
        }
    }

    fn fields(&self, deed: Deed) -> Vec<Field> {
        let text = |name, label: &str, kind| Field::new(name, label, kind, String::new());
        let money = |name, label: &str, money: Option<Money>| {
            Field::new(name, self.in_currency(label), Kind::Amount, self.plain(money))
        };
        let day = |name, label: &str, day: Option<String>| Field::new(name, label, Kind::Date, day.unwrap_or_default());
        let today = || Some(self.today.clone());
        match deed {
            Deed::Put => vec![text("bin", "Bin", Kind::Bin).needed().whole()],
            Deed::Edit => self.edit_fields(),
            Deed::Listed => {
                let since = self.item.listed.map(|day| day.to_string()).or_else(today);
                vec![money("asking", "Asking price", self.item.asking), day("on", "Since", since)]
            }
            Deed::Sold => {
                let asked = self.item.asking.map(|asking| format!("{} was asked", self.currency.format(asking)));
                let price = money("price", "The buyer paid", None);
                vec![
                    if let Some(asked) = asked { price.hint(asked) } else { price },
                    money("fees", "Fees", None),
                    money("postage", "Your postage", None),
                    day("on", "Sold on", today()),
                    text("order", "Order", Kind::Text),
                    text("with", "Sold with", Kind::Text)
                        .hint("codes of other items of the order; the figures are shared out"),
                ]
            }
            Deed::Amend => self.sale.map(|sale| self.amend_fields(sale)).unwrap_or_default(),
            Deed::Return => vec![
                text("bin", "Into the bin", Kind::Bin).needed(),
                money("refund", "The buyer gets back", None).hint("empty: all that was paid; 0: nothing"),
                money("postage", "Its way back cost", None),
                day("on", "On", today()),
            ],
            Deed::Refund => vec![
                money("refund", "The buyer gets back", None).needed(),
                money("postage", "Sending once more cost", None),
                day("on", "On", today()),
            ],
            Deed::Gone => {
                vec![text("why", "What became of it", Kind::Text).needed().whole(), day("on", "Since", today())]
            }
            Deed::Retag => Vec::new(),
            Deed::Alias => vec![text("old", "What the label says", Kind::Text).needed().whole()],
        }
    }

    fn edit_fields(&self) -> Vec<Field> {
        let Item { title, cost, asking, bought, note, bulk, .. } = self.item;
        let words = |known: Option<String>| known.unwrap_or_default();
        let money = |name, label, money: &Option<Money>| {
            Field::new(name, self.in_currency(label), Kind::Amount, self.plain(*money))
        };
        vec![
            Field::new("title", "Title", Kind::Text, title.clone()).needed().whole(),
            money("cost", "What it cost", cost),
            money("asking", "Asking price", asking),
            Field::new("bought", "Bought on", Kind::Date, words(bought.map(|day| day.to_string()))),
            Field::new("note", "A note for yourself", Kind::Text, words(note.clone())).whole(),
            Field::new("litres", "Litres", Kind::Number, words(bulk.volume.map(|volume| volume.litres().to_string()))),
            Field::new("measures", "Measures in cm", Kind::Text, words(bulk.measures.map(plain_measures)))
                .hint("such as 30 x 20 x 10"),
            Field::new("size", "Size", Kind::Size, words(bulk.size.clone())),
            Field::new("grams", "Grams", Kind::Number, words(bulk.weight.map(|weight| weight.grams().to_string()))),
        ]
    }

    fn amend_fields(&self, sale: &Sale) -> Vec<Field> {
        let money = |name, label: &str, money: Option<Money>| {
            Field::new(name, self.in_currency(label), Kind::Amount, self.plain(money))
        };
        vec![
            money("price", "The buyer paid", sale.price).hint("empty: not known"),
            money("fees", "Fees", Some(sale.fees)),
            money("postage", "Your postage", Some(sale.postage)),
            Field::new("on", "Sold on", Kind::Date, sale.day.to_string()),
            Field::new("order", "Order", Kind::Text, sale.order.clone().unwrap_or_default()),
        ]
    }

    fn plain(&self, money: Option<Money>) -> String {
        money.map(|money| self.currency.format(money)).unwrap_or_default()
    }

    fn in_currency(&self, label: &str) -> String {
        if self.currency.is_none() { label.to_owned() } else { format!("{label} ({})", self.currency.code()) }
    }
}

fn plain_measures(measures: crate::unit::Measures) -> String {
    measures.to_string().trim_end_matches(" cm").to_owned()
}
