//! Count: what is in a bin is scanned and held against the register.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Query, State as Shared},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    end::recorded,
    said::{Said, Sound, quoted},
    session::{Area, Key, hold, new_id},
    take,
    work::Work,
};
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::{Desk, on_a_thread},
        words::desk_words,
    },
    job::{Accuracies, Count, DueBin, Ignored, Reckoned, accuracies, bin_by_text, counts_due, place_text, whereabouts},
    plan::Accuracy,
    register::{Item, Register},
};

/// Which session, and which bin it counts.
#[derive(Debug, Deserialize)]
pub(super) struct At {
    session: Option<String>,
    #[serde(default)]
    bin: String,
    /// A session that has ended, so that the page forgets it.
    ended: Option<String>,
}

#[derive(Debug, Template)]
#[template(path = "count.html")]
struct CountPage {
    shell: Shell,
    due: Vec<DueBin>,
    total: Accuracy,
    typed: String,
    refused: Option<String>,
    going: Option<(String, String)>,
    ended: Option<String>,
}

impl CountPage {
    fn place(due: &DueBin) -> String {
        place_text(&due.bin.place)
    }
}

/// The bins that are due, or the page of a count.
pub(super) async fn page(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    Query(at): Query<At>,
) -> Result<Response, Refusal> {
    if let Some(session) = at.session {
        let id = session.clone();
        return match desk.read(move |register| recorded(register, &id)).await? {
            None => take::page(desk, visitor, Area::Count, &session, at.bin).await,
            // The browser went back to it: it begins with the choice of a bin again.
            Some(_) => Ok(Go(format!("/count?ended={session}")).into_response()),
        };
    }
    if at.bin.is_empty() {
        return due(&desk, &visitor, String::new(), None, at.ended).await;
    }
    let typed = at.bin.clone();
    match desk.read(move |register| bin_by_text(register, at.bin.trim())).await {
        Ok(bin) => Ok(Go(format!("/count?session={}&bin={}", new_id()?, bin.code)).into_response()),
        Err(refusal) => due(&desk, &visitor, typed, Some(refusal), None).await,
    }
}

async fn due(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    typed: String,
    refused: Option<Refusal>,
    ended: Option<String>,
) -> Result<Response, Refusal> {
    let (due, total) = desk
        .read(|register| Ok::<_, crate::register::RegisterError>((counts_due(register)?, accuracies(register)?.total)))
        .await?;
    let (at, device) = (Arc::clone(desk), visitor.device.id);
    let going = on_a_thread(move || going(&at, device)).await?;
    let shell = visitor.shell(desk, "Count", Place::Count);
    let status = refused.as_ref().map_or(axum::http::StatusCode::OK, |refusal| refusal.status);
    let refused = refused.map(|refusal| refusal.text);
    Ok((status, Page(CountPage { shell, due, total, typed, refused, going, ended })).into_response())
}

/// The device's count that goes on: its session and its bin.
fn going(desk: &Desk, device: crate::register::DeviceId) -> Result<Option<(String, String)>, Refusal> {
    let Some(id) = desk.sessions.latest(device, Area::Count) else { return Ok(None) };
    let held = desk.sessions.get(&Key::new(device, Area::Count, &id)?);
    Ok(held.and_then(|held| match &hold(&held).work {
        Work::Count(work) => Some((id, work.count.bin.code.to_string())),
        _ => None,
    }))
}

#[derive(Debug, Template)]
#[template(path = "count_accuracy.html")]
struct AccuracyPage {
    shell: Shell,
    found: Accuracies,
}

/// How true the register was, by bin and by month.
pub(super) async fn accuracy(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
) -> Result<Page<impl Template>, Refusal> {
    let found = desk.read(accuracies).await?;
    Ok(Page(AccuracyPage { shell: visitor.shell(&desk, "Accuracy", Place::Count), found }))
}

/// A count that goes on.
#[derive(Debug)]
pub(super) struct CountWork {
    pub count: Count,
}

#[derive(Debug, Template)]
#[template(path = "scan_count.html")]
pub(super) struct CountState {
    pub session: String,
    pub bin: String,
    place: String,
    present: usize,
    expected: usize,
    left: Vec<Item>,
    elsewhere: Vec<Item>,
    unknown: Vec<String>,
}

impl CountWork {
    pub(super) fn begin(register: &Register, bin: &str) -> Result<Self, Refusal> {
        let bin = bin_by_text(register, bin)?;
        Ok(Self { count: Count::begin(register, bin)? })
    }

    pub(super) fn take(&mut self, register: &Register, text: &str, is_cut: bool) -> Said {
        let reckoned = match self.count.take(register, text, is_cut) {
            Ok(reckoned) => reckoned,
            Err(why) => return Said::refused(text, &why),
        };
        let bin = self.count.bin.code;
        match reckoned {
            Reckoned::Present(item) => {
                let number = format!("{} of {}", self.count.present(), self.count.expected());
                Said::new(Sound::Good, "Here", &item.title, format!("{}, {number}", item.name())).at(bin)
            }
            Reckoned::Misplaced(item) => {
                let text = format!("{}: {}", item.name(), whereabouts(&item));
                Said::new(Sound::Bad, "Belongs elsewhere", &item.title, text)
            }
            Reckoned::Unknown(why) => Said::new(Sound::Bad, "Unknown", quoted(text), desk_words(&why.to_string())),
            Reckoned::Ignored(why @ Ignored::OtherBin(_)) => {
                Said::new(Sound::Bad, "No effect", quoted(text), desk_words(&why.to_string()))
            }
            Reckoned::Ignored(why) => Said::new(Sound::None, "No effect", quoted(text), desk_words(&why.to_string())),
            Reckoned::End => {
                Said::new(Sound::None, "All read?", "", "Choose “Finish the count” to see what was found.").at(bin)
            }
        }
    }

    pub(super) fn state(&self, session: &str) -> CountState {
        let count = &self.count;
        CountState {
            session: session.to_owned(),
            bin: count.bin.code.to_string(),
            place: place_text(&count.bin.place),
            present: count.present(),
            expected: count.expected(),
            left: count.left().cloned().collect(),
            elsewhere: count.elsewhere().to_vec(),
            unknown: count.unknown().iter().map(|text| quoted(text)).collect(),
        }
    }
}
