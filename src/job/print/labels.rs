//! The labels that can be printed: whose each is, how it is drawn, what it says.
//!
//! A new kind of label is a variant of [`LabelJob`] and its arms here.

use jiff::civil::Date;
use serde_json::{Value, json};

use super::{
    super::round::{stand, stand_of_area, walk_key},
    Look,
    look::Field,
};
use crate::{
    code::{ItemCode, StockCode},
    label::{AreaSign, ContentsList, Drawn, Form, LabelError, Listed, ShelfStrip, Sign, Stock, Tag},
    plan::WalkKey,
    register::{Area, Bin, Found, Item, LabelOf, RunKind, Spot},
    unit::{Currency, Mm},
};

/// A label to be printed.
#[derive(Debug, Clone, PartialEq)]
pub enum LabelJob {
    /// An item's tag, with the item's code.
    Tag(ItemCode, Item),
    /// A bin's sign.
    Sign(Bin),
    /// The sign of a bin's lid.
    Lid(Bin),
    /// The strip of a spot, with the bins that stand there.
    Strip(Spot, Vec<Bin>),
    /// An area's sign.
    Area(Area),
    /// The list of what is in a bin, as of a day.
    Contents(Bin, Vec<Item>, Date),
}

/// A label to be printed that may look otherwise than the others of its run.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnLook {
    /// The label.
    pub job: LabelJob,
    /// Its own look; else it has that of the run.
    pub look: Option<Look>,
}

impl From<LabelJob> for OwnLook {
    fn from(job: LabelJob) -> Self {
        Self { job, look: None }
    }
}

/// What the drawings of a run have in common.
#[derive(Debug, Clone, Copy)]
pub(super) struct Brush<'a> {
    pub look: &'a Look,
    pub currency: &'a Currency,
    /// The height that the codes of all signs fit, so that they are level.
    pub level: Option<Mm>,
}

impl LabelJob {
    /// The tag or sign for what was found; `None` when it has none of that kind.
    #[must_use]
    pub fn new(kind: RunKind, found: Found) -> Option<Self> {
        match (kind, found) {
            (RunKind::Tags, Found::Item(item)) => Self::tag(item),
            (RunKind::Signs, Found::Bin(bin)) => Some(Self::Sign(bin)),
            (RunKind::Lids, Found::Bin(bin)) => Some(Self::Lid(bin)),
            _ => None,
        }
    }

    /// The tag of an item; `None` for one that has no code yet.
    #[must_use]
    pub fn tag(item: Item) -> Option<Self> {
        item.code.map(|code| Self::Tag(code, item))
    }

    /// The code that it is about; nothing for areas and spots, which have none.
    #[must_use]
    pub fn payload(&self) -> String {
        match self {
            Self::Tag(code, _) => code.payload(),
            Self::Sign(bin) | Self::Lid(bin) | Self::Contents(bin, ..) => bin.code.payload(),
            Self::Strip(..) | Self::Area(_) => String::new(),
        }
    }

    /// The key by which labels come in walking order.
    pub(in crate::job) fn order(&self) -> WalkKey {
        match self {
            Self::Tag(code, item) => walk_key(item.stowed.as_ref(), Some(StockCode::Item(*code))),
            Self::Sign(bin) | Self::Lid(bin) | Self::Contents(bin, ..) => {
                WalkKey::new(Some(stand(&bin.place, bin.stack)), Some(bin.code), None)
            }
            Self::Strip(_, bins) => WalkKey::new(bins.first().map(|bin| stand(&bin.place, None)), None, None),
            Self::Area(area) => WalkKey::new(Some(stand_of_area(area)), None, None),
        }
    }

    /// The height of capitals that a sign's code would have by itself.
    pub(super) fn cap(&self, stock: &Stock, brush: Brush<'_>) -> Option<Mm> {
        match self {
            Self::Sign(bin) => sign(bin, Form::Front, brush).cap(stock, brush.look.symbols()).ok(),
            Self::Lid(bin) => sign(bin, Form::Lid, brush).cap(stock, brush.look.symbols()).ok(),
            _ => None,
        }
    }

    /// Its drawings, one a label position.
    pub(super) fn draw(&self, stock: &Stock, brush: Brush<'_>) -> Result<Vec<Drawn>, LabelError> {
        let symbols = brush.look.symbols();
        let drawn = match self {
            Self::Tag(code, item) => tag(*code, item, brush).draw(stock, symbols)?,
            Self::Sign(bin) => sign(bin, Form::Front, brush).draw(stock, symbols)?,
            Self::Lid(bin) => sign(bin, Form::Lid, brush).draw(stock, symbols)?,
            Self::Strip(spot, bins) => strip(spot, bins).draw(stock)?,
            Self::Area(area) => AreaSign { number: area.number, name: area.name.clone() }.draw(stock),
            Self::Contents(bin, items, date) => return list(bin, items, *date).draw(stock),
        };
        Ok(vec![drawn])
    }

    /// Whose it is.
    pub(super) fn of(&self) -> LabelOf<'_> {
        match self {
            Self::Tag(_, item) => LabelOf::Item(item),
            Self::Sign(bin) | Self::Lid(bin) | Self::Contents(bin, ..) => LabelOf::Bin(bin),
            Self::Strip(spot, _) => LabelOf::Spot(spot.id),
            Self::Area(area) => LabelOf::Area(area.number),
        }
    }

    /// All that it would say now with this look.
    pub(in crate::job) fn says(&self, look: &Look, currency: &Currency) -> Value {
        self.said(Brush { look, currency, level: None })
    }

    /// All that it says, as the register keeps it: whatever would change its picture.
    pub(super) fn said(&self, brush: Brush<'_>) -> Value {
        match self {
            Self::Tag(code, item) => tag_says(*code, item, brush),
            Self::Sign(bin) | Self::Lid(bin) => sign_says(bin, brush.look),
            Self::Strip(spot, bins) => {
                let codes: Vec<String> = bins.iter().map(|bin| bin.code.to_string()).collect();
                json!({"spot": spot.name, "area_name": area_name(bins), "codes": codes})
            }
            Self::Area(area) => json!({"area": area.number.get(), "area_name": area.name}),
            Self::Contents(bin, items, date) => {
                let codes: Vec<String> = items.iter().map(Item::name).collect();
                let titles: Vec<&str> = items.iter().map(|item| item.title.as_str()).collect();
                let (area_name, spot) = (&bin.place.area_name, spot_name(bin));
                json!({
                    "code": bin.code.to_string(), "area_name": area_name, "spot": spot,
                    "codes": codes, "titles": titles, "date": date.to_string(),
                })
            }
        }
    }
}

/// What it shows and does not know is there as nothing, so that it is noticed when it becomes known. The bin is for
/// information: the code has it.
fn tag_says(code: ItemCode, item: &Item, brush: Brush<'_>) -> Value {
    let tag = tag(code, item, brush);
    let mut said = json!({"code": code.to_string(), "bin": code.bin.to_string(), "title": item.title});
    let shown = [(Field::Asking, tag.asking), (Field::Bought, tag.bought), (Field::Cost, tag.cost)];
    for (field, value) in shown.into_iter().filter(|(field, _)| brush.look.show.contains(field)) {
        said[field.name()] = json!(value);
    }
    if let Some(note) = tag.note {
        said["note"] = json!(note);
    }
    said
}

fn sign_says(bin: &Bin, look: &Look) -> Value {
    let mut said = json!({"code": bin.code.to_string(), "area_name": bin.place.area_name, "spot": spot_name(bin)});
    let texts =
        [("inside", look.inside.clone()), ("note", look.note.clone()), ("guide_weight", guide_weight(bin, look))];
    for (name, text) in texts {
        if let Some(text) = text {
            said[name] = json!(text);
        }
    }
    said
}

fn spot_name(bin: &Bin) -> Option<String> {
    bin.place.spot.as_ref().map(|spot| spot.name.clone())
}

fn area_name(bins: &[Bin]) -> String {
    bins.first().map(|bin| bin.place.area_name.clone()).unwrap_or_default()
}

fn tag(code: ItemCode, item: &Item, Brush { look, currency, .. }: Brush<'_>) -> Tag {
    let shown = |field: Field| look.show.contains(&field);
    let amount = |field, money: Option<_>| money.filter(|_| shown(field)).map(|money| currency.format(money));
    Tag {
        asking: amount(Field::Asking, item.asking),
        bought: item.bought.filter(|_| shown(Field::Bought)).map(|date| date.to_string()),
        note: look.note.clone(),
        cost: amount(Field::Cost, item.cost),
        ..Tag::new(code, item.title.clone())
    }
}

fn sign(bin: &Bin, form: Form, Brush { look, level, .. }: Brush<'_>) -> Sign {
    let plain = Sign::new(bin.code, bin.place.area_name.clone(), spot_name(bin));
    Sign {
        form,
        contents: look.inside.clone(),
        note: look.note.clone(),
        guide_weight: guide_weight(bin, look),
        read_from: look.read_from.unwrap_or(plain.read_from),
        level,
        ..plain
    }
}

/// The weight on a bin's sign, if one is wanted: that of the lift, which the tub is part of, and the most that may be
/// inside where the bin has a limit.
fn guide_weight(bin: &Bin, look: &Look) -> Option<String> {
    let guide = look.guide?;
    let inside = bin.room.max_weight.map(|most| format!("; at most {most} inside")).unwrap_or_default();
    Some(format!("{guide} with the tub{inside}"))
}

fn strip(spot: &Spot, bins: &[Bin]) -> ShelfStrip {
    let codes = bins.iter().map(|bin| bin.code).collect();
    ShelfStrip { codes, area_name: area_name(bins), spot: spot.name.clone() }
}

fn list(bin: &Bin, items: &[Item], date: Date) -> ContentsList {
    let listed = |item: &Item| item.code.map(|code| Listed { code, title: item.title.clone() });
    ContentsList {
        code: bin.code,
        area_name: bin.place.area_name.clone(),
        spot: spot_name(bin),
        items: items.iter().filter_map(listed).collect(),
        date: date.to_string(),
        ticks: false,
    }
}
