//! Regroup: a plan of moves carried out with a reader or a phone.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Query, State as Shared},
    response::{IntoResponse, Response},
};

use super::{
    said::{Said, Sound},
    session::{Area, Key, hold, new_id},
    state::Button,
    take::{self, At},
    work::Work,
};
use crate::{
    desk::{
        answer::{Go, Refusal},
        shell::Visitor,
        state::{Desk, on_a_thread},
        words::desk_words,
    },
    job::{
        Ending, GoRefusal, Going, Next, RegroupGo, StowRepair, Visit, going_text, open_plan, place_text, planned_text,
        repaired_text, settled_text,
    },
    label::LIFTING,
    register::{DeviceId, MoveState, Register, RegisterError, RegroupId},
};

/// The page. Without a session it leads to the device's own, or to a new one; without a plan to where one is made.
pub(super) async fn page(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Query(at): Query<At>,
) -> Result<Response, Refusal> {
    let device = visitor.device.id;
    let goes_on = at.session.as_deref().map(|id| Key::new(device, Area::Regroup, id)).transpose()?;
    let goes_on = goes_on.is_some_and(|key| desk.sessions.get(&key).is_some());
    // To take a plan up may end it.
    let plan = if visitor.device.looks_only { None } else { desk.read(open_plan).await? };
    let session = match (at.session, plan) {
        (Some(session), plan) if plan.is_some() || goes_on && !visitor.device.looks_only => session,
        (None, Some(plan)) => {
            let at = Arc::clone(&desk);
            let session = on_a_thread(move || latest_or_new(&at, device, plan.kept.id)).await?;
            return Ok(Go(format!("/regroup/go?session={session}")).into_response());
        }
        _ => return Ok(Go("/regroup".into()).into_response()),
    };
    take::page(desk, visitor, Area::Regroup, &session, String::new()).await
}

/// The device's session, if it is of this plan: one of an earlier plan has come to its end.
fn latest_or_new(desk: &Desk, device: DeviceId, plan: RegroupId) -> Result<String, Refusal> {
    let Some(latest) = desk.sessions.latest(device, Area::Regroup) else { return new_id() };
    let held = desk.sessions.get(&Key::new(device, Area::Regroup, &latest)?);
    let is_of_it = held.is_some_and(|held| matches!(&hold(&held).work, Work::Go(work) if work.go.plan_id() == plan));
    if is_of_it { Ok(latest) } else { new_id() }
}

/// A plan that is carried out.
#[derive(Debug)]
pub(super) struct GoWork {
    go: RegroupGo,
}

#[derive(Debug, Template)]
#[template(path = "scan_regroup.html")]
pub(super) struct GoState {
    pub session: String,
    next: Next,
    progress: String,
    done: usize,
    all: usize,
    in_hand: Vec<String>,
    missing: Vec<String>,
    /// One for each item that is to be taken next.
    buttons: Vec<Button>,
    undo: Option<Button>,
    ending: Option<Ending>,
}

impl GoState {
    const LIFTING: &str = LIFTING;

    fn place(visit: &Visit) -> String {
        place_text(&visit.bin.place)
    }

    fn heading(ending: &Ending) -> String {
        ending.heading().iter().map(|line| desk_words(line)).collect::<Vec<_>>().join(" ")
    }

    fn tags(ending: &Ending) -> Option<String> {
        ending.tags_text("a retag").map(|text| desk_words(&text))
    }
}

impl GoWork {
    pub(super) fn begin(register: &mut Register) -> Result<Self, Refusal> {
        let go = RegroupGo::begin(register)?;
        go.map(|go| Self { go }).ok_or_else(|| Refusal::nothing("There is no plan of moves. Make one first."))
    }

    pub(super) fn take(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Said {
        let said = match self.go.take(register, text, is_cut) {
            Ok((going, repair)) => done(&going, repair),
            Err(GoRefusal::Register(RegisterError::ScannedBefore(change))) => Said::before(&change),
            Err(why) => Said::refused(text, &why),
        };
        let warnings = self.go.settled().iter().map(settled_text).chain(said.warnings).collect();
        // The reading stands, whatever comes of looking for the next one.
        let next =
            self.go.next(register).ok().filter(|next| *next != Next::Nothing).map(|next| desk_words(&next.text()));
        Said { warnings, next, ..said }
    }

    pub(super) fn state(&mut self, register: &Register, session: &str) -> Result<GoState, Refusal> {
        let plan = self.go.plan(register)?;
        let next = self.go.next(register)?;
        let visited = if let Next::Take(visit) = &next { visit.items.as_slice() } else { &[] };
        let missing = |name: String| Button::new(session, format!("missing {name}"));
        let buttons = visited.iter().map(|(_, item)| missing(item.name())).collect::<Result<_, _>>()?;
        let undo = self.go.can_undo().then(|| Button::new(session, "undo")).transpose()?;
        let lines = |state| plan.in_state(state).map(planned_text).collect();
        Ok(GoState {
            session: session.to_owned(),
            progress: desk_words(&plan.progress_text()),
            done: plan.kept.count(MoveState::Done),
            all: plan.kept.moves.len(),
            in_hand: lines(MoveState::Taken),
            missing: lines(MoveState::Missing),
            buttons,
            undo,
            ending: self.go.ending(register)?,
            next,
        })
    }
}

fn done(going: &Going, repair: StowRepair) -> Said {
    let text = format!("{}{}", going_text(going), repaired_text(repair));
    match going {
        Going::Taken(one, item) | Going::InHand(one, item) => {
            let plate = if one.is_held() { "BOX".to_owned() } else { one.to.to_string() };
            Said::new(Sound::Good, "Taken", &item.title, text).at(plate)
        }
        Going::Put { bin, put, over } => {
            let warnings = over.iter().map(ToString::to_string).collect();
            let title = format!("{} put into {}", crate::job::count(put.len() as u64, "item"), bin.code);
            Said { warnings, ..Said::new(Sound::Good, "Put", title, place_text(&bin.place)).at(bin.code) }
        }
        Going::Missing(_, item) => Said::new(Sound::Good, "Marked as missing", &item.title, text),
        Going::Undone(_) => Said::new(Sound::Good, "Taken back", "", desk_words(&text)),
    }
}
