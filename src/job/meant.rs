//! What a code means that was typed or scanned: a code of this program, and perhaps a label from before.

use crate::{
    code::{Origin, Read, read, without_aim},
    plan::{Recognised, recognise},
    register::{Found, Item, Register, RegisterError},
};

/// What a text means.
#[derive(Debug)]
pub(super) struct Meant {
    /// How it was recognised as a code of this program.
    pub recognised: Recognised,
    /// What that code stands for.
    pub own: Option<Found>,
    /// Another item, whose label from before says the same.
    pub old: Option<Item>,
}

/// Looks a text up. A code in full is never a label from before: none that reads like one is taken on.
pub(super) fn meant(register: &Register, text: &str, origin: Origin) -> Result<Meant, RegisterError> {
    let is_known = |code| register.look_up(code).map(|found| found.is_some());
    let recognised = recognise(text, origin, is_known)?;
    let own = match recognised {
        Recognised::Code(code, _) => register.look_up(code)?,
        _ => None,
    };
    let old = if matches!(read(text, Origin::Scanned), Read::Code(_)) { None } else { by_label(register, text)? };
    let is_other = |item: &Item| !matches!(&own, Some(Found::Item(known)) if known.id() == item.id());
    Ok(Meant { recognised, old: old.filter(is_other), own })
}

/// As it is read, else without what a reader puts before it.
fn by_label(register: &Register, text: &str) -> Result<Option<Item>, RegisterError> {
    let bare = text.trim_matches(|c: char| c.is_whitespace() || c.is_control());
    let found = register.item_by_old_code(bare)?;
    let data = without_aim(bare);
    if found.is_some() || data == bare { Ok(found) } else { register.item_by_old_code(data) }
}
