//! Pick: what is sold and still in its bin, in walking order, confirmed by scanning or by a button.

use std::collections::HashMap;

use askama::Template;

use super::{
    said::{Said, Sound},
    state::Button,
};
use crate::{
    desk::answer::Refusal,
    job::{PickRefusal, PickSession, Picking, Stop, left_text, picking_text, round, round_size},
    register::{Item, ItemId, Register, RegisterError},
};

/// A session that picks.
#[derive(Debug)]
pub(super) struct PickWork {
    picks: PickSession,
}

#[derive(Debug, Template)]
#[template(path = "scan_pick.html")]
pub(super) struct PickState {
    pub session: String,
    stops: Vec<Stop>,
    left: usize,
    picked: usize,
    size: String,
    undo: Option<Button>,
    buttons: HashMap<ItemId, Button>,
}

impl PickState {
    /// `Loft, rack 1, 2nd in the stack`
    fn place(stop: &Stop) -> String {
        let parts = [Some(stop.place.area_name.clone()), stop.spot_text()];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }

    fn order(item: &Item) -> Option<&str> {
        item.sold.as_ref()?.order.as_deref()
    }

    fn button(&self, item: &Item) -> Option<&Button> {
        self.buttons.get(&item.id())
    }
}

impl PickWork {
    pub(super) fn begin() -> Self {
        Self { picks: PickSession::new(today()) }
    }

    pub(super) fn take(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Said {
        self.picks.set_day(today());
        let said = match self.picks.take(register, text, is_cut) {
            Ok(picking @ Picking::Picked(..)) => {
                let Picking::Picked(item, pick) = &picking else { return Said::new(Sound::None, "", "", "") };
                Said::new(Sound::Good, "Picked", &item.title, picking_text(&picking)).at(pick.from)
            }
            Ok(picking @ Picking::Undone(_)) => {
                let Picking::Undone(pick) = &picking else { return Said::new(Sound::None, "", "", "") };
                Said::new(Sound::Good, "Taken back", &pick.name, picking_text(&picking)).at(pick.from)
            }
            Err(PickRefusal::Register(RegisterError::ScannedBefore(change))) => Said::before(&change),
            Err(why) => Said::refused(text, &why),
        };
        // The pick stands, whatever comes of looking for the next one.
        let next = round(register).ok().map(|stops| left_text(&stops));
        Said { next, ..said }
    }

    pub(super) fn state(&self, register: &Register, session: &str) -> Result<PickState, Refusal> {
        let stops = round(register)?;
        let picked = self.picks.picked();
        let items = stops.iter().flat_map(|stop| &stop.items);
        let button = |item: &Item| Ok::<_, Refusal>((item.id(), Button::new(session, item.id().to_string())?));
        let buttons = items.map(button).collect::<Result<HashMap<_, _>, _>>()?;
        let undo = (picked > 0).then(|| Button::new(session, "undo")).transpose()?;
        let (left, size) = (buttons.len(), round_size(&stops));
        Ok(PickState { session: session.to_owned(), stops, left, picked, size, undo, buttons })
    }
}

pub(super) fn today() -> jiff::civil::Date {
    jiff::ZonedDateTime::now().date()
}
