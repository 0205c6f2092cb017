//! What is shown of a match: where it is, what has to be known of it, and what can be done next.

use crate::{
    desk::{
        item::item_path,
        words::{bare, sentence},
    },
    job::{FindAnswer, bin_state, count, fate, stack_text},
    register::{Bin, Found, Item, Place, Register, RegisterError, Status},
};

/// A match.
#[derive(Debug)]
pub(super) struct Card {
    /// The bin that it is in.
    pub plate: Option<String>,
    /// What stands in its place where it is in none.
    pub bare: &'static str,
    pub title: String,
    /// What it is called by.
    pub name: String,
    pub href: String,
    /// Area, spot, place in the stack; the first is the one to go to.
    pub place: Vec<String>,
    /// How it is, where that is as usual.
    pub state: Option<String>,
    /// What has to be known of it.
    pub notes: Vec<String>,
    /// Labels from before.
    pub old: Vec<String>,
    /// What can be done next, the usual first.
    pub acts: Vec<Act>,
}

/// A way to go on.
#[derive(Debug)]
pub(super) struct Act {
    pub text: &'static str,
    pub href: String,
    /// Whether it changes nothing, so that a device for looking only has it too.
    pub looks: bool,
}

fn act(text: &'static str, href: String) -> Act {
    Act { text, href, looks: false }
}

impl Card {
    pub(super) fn of(register: &Register, answer: &FindAnswer, at: usize) -> Result<Self, RegisterError> {
        let old = answer.old_codes.get(at).cloned().unwrap_or_default();
        Ok(match &answer.matches[at] {
            Found::Item(item) => {
                let is_tagged = register.tagged([item.id()])?.contains(&item.id());
                let mut card = Self { old, ..Self::of_item(item, is_tagged) };
                card.notes.extend(answer.in_hand_note(at).map(|text| sentence(&text)));
                card
            }
            Found::Bin(bin) => Self { old, ..Self::of_bin(bin) },
        })
    }

    fn of_item(item: &Item, is_tagged: bool) -> Self {
        let name = item.name();
        let place = item.stowed.as_ref().map(|stowed| place_lines(&stowed.place, stowed.stack)).unwrap_or_default();
        Self {
            plate: item.bin().map(|bin| bin.to_string()),
            bare: bare(item.status),
            title: item.title.clone(),
            href: item_path(&name),
            place,
            state: None,
            notes: item_notes(item),
            old: Vec::new(),
            acts: item_acts(item, is_tagged),
            name,
        }
    }

    fn of_bin(bin: &Bin) -> Self {
        let code = bin.code.to_string();
        Self {
            plate: Some(code.clone()),
            bare: "",
            title: format!("Bin {code}"),
            href: format!("/b/{code}"),
            place: place_lines(&bin.place, bin.stack),
            state: bin.is_live.then(|| within(bin.items)),
            notes: if bin.is_live { Vec::new() } else { vec![sentence(&bin_state(bin))] },
            old: Vec::new(),
            acts: bin_acts(bin),
            name: String::new(),
        }
    }

    /// The place in one line.
    pub(super) fn place_line(&self) -> String {
        self.place.join(", ")
    }
}

fn place_lines(place: &Place, stack: Option<u32>) -> Vec<String> {
    let spot = place.spot.as_ref().map(|spot| spot.name.clone());
    std::iter::once(place.area_name.clone()).chain(spot).chain(stack.map(stack_text)).collect()
}

fn within(items: u32) -> String {
    if items == 0 { "Empty.".into() } else { format!("{} in it.", count(items.into(), "item")) }
}

/// What a glance at the bin does not tell.
fn item_notes(item: &Item) -> Vec<String> {
    let own = match item.status {
        Status::Waiting => Some("Waits for a bin.".into()),
        Status::Undone => Some("Its entry was taken back.".into()),
        _ => fate(item).map(|fate| sentence(&fate)),
    };
    let tag = item.tag_shows().zip(item.bin());
    let tag = tag.map(|(shown, bin)| format!("Its code names {shown}, but it is in {bin} now."));
    own.into_iter().chain(tag).collect()
}

fn item_acts(item: &Item, is_tagged: bool) -> Vec<Act> {
    let name = item.name();
    let form = |text, form: &str| act(text, format!("{}?open={form}#{form}", item_path(&name)));
    let print = || act("Print its tag", format!("/labels?what=tags&codes={name}"));
    match item.status {
        Status::Waiting => vec![form("Put into a bin", "put")],
        Status::Held if !is_tagged => vec![print(), form("Put elsewhere", "put"), form("Sold", "sold")],
        Status::Held | Status::Listed => vec![form("Sold", "sold"), form("Put elsewhere", "put"), print()],
        Status::Sold => vec![act("Go and pick it", "/pick".into()), form("Put elsewhere", "put")],
        Status::Picked => vec![form("It came back", "return")],
        Status::Gone => vec![form("It is there again", "put")],
        Status::Undone => Vec::new(),
    }
}

fn bin_acts(bin: &Bin) -> Vec<Act> {
    let code = bin.code;
    let open = Act { looks: true, ..act("Open", format!("/b/{code}")) };
    if !bin.is_live {
        return vec![open];
    }
    vec![
        open,
        act("Stow into it", format!("/stow?bin={code}")),
        act("Count it", format!("/count?bin={code}")),
        act("Print its sign", format!("/labels?what=signs&codes={code}")),
    ]
}
