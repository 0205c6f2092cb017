//! Takes readings: one, or all of a photograph.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Query, State as Shared},
    http::{HeaderName, HeaderValue, StatusCode},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    end::recorded,
    said::{Said, Sound},
    session::{Area, Held, Key, hold, is_id, new_id},
    state::State,
    work::Work,
};
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::{Desk, on_a_thread},
    },
    register::{Register, Terms},
};

/// The most characters of a reading; no symbol holds more (QR: 7,089 digits, ISO/IEC 18004).
const LONGEST: usize = 8192;
/// Where a count is lost that was going on: the desk was started anew meanwhile.
const LOST: &str = "The desk was started anew, and this count with it. Begin it again.";

/// Where a count is gone on with that was finished, as on a page that the browser went back to.
const RECORDED: &str = "This count is recorded already, so this is not counted. Begin another count.";

/// A reading as it is sent.
#[derive(Debug, Clone, Default, Deserialize)]
pub(super) struct ScanForm {
    pub session: String,
    pub scan: String,
    pub text: String,
    /// The bin that the page knows: after a new start of the desk the session goes on with it.
    #[serde(default)]
    pub bin: String,
    /// How many readings of this session the page knows to be taken.
    #[serde(default)]
    pub begun: usize,
}

/// What became of a reading, and how things stand then.
#[derive(Debug)]
pub(super) struct Taken {
    pub said: Said,
    pub state: State,
    pub readings: usize,
}

#[derive(Debug, Template)]
#[template(path = "scan_part.html")]
struct TakenPart {
    taken: Taken,
}

#[derive(Debug, Template)]
#[template(path = "scan.html")]
struct ScanPage {
    shell: Shell,
    area: &'static str,
    ask: &'static str,
    session: String,
    scan: String,
    said: Option<Said>,
    state: State,
    readings: usize,
    photo: bool,
}

/// Takes a reading and answers with the part of the page that changes, or without script with the page.
pub(super) async fn post(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    area: Area,
    Form(form): Form<ScanForm>,
) -> Result<Response, Refusal> {
    let key = Key::new(visitor.device.id, area, &form.session)?;
    let at = Arc::clone(&desk);
    let taken = on_a_thread(move || take(&at, &key, &form)).await;
    match taken {
        Err(refusal) if refusal.text == LOST => Ok(lost(&refusal)),
        taken => answer(&desk, &visitor, area, taken?),
    }
}

/// The answer to readings that were taken.
pub(super) fn answer(desk: &Desk, visitor: &Visitor, area: Area, taken: Taken) -> Result<Response, Refusal> {
    let sound = HeaderValue::from_static(taken.said.sound.name());
    let mut response = if visitor.wants_part {
        Page(TakenPart { taken }).into_response()
    } else {
        show(desk, visitor, area, taken.state.session().to_owned(), taken.state, Some(taken.said), taken.readings)?
    };
    response.headers_mut().insert(HeaderName::from_static("x-sound"), sound);
    Ok(response)
}

/// The page's script sends again all that was taken of a count.
fn lost(refusal: &Refusal) -> Response {
    let mut response = refusal.clone().into_response();
    *response.status_mut() = StatusCode::GONE;
    response.headers_mut().insert(HeaderName::from_static("x-lost"), HeaderValue::from_static("1"));
    response
}

/// Which session, and which bin it begins with.
#[derive(Debug, Deserialize)]
pub(super) struct At {
    pub session: Option<String>,
    #[serde(default)]
    pub bin: String,
}

/// The page of a session. Without one it leads to the device's own, or to a new one.
pub(super) async fn own_page(
    Shared(desk): Shared<Arc<Desk>>,
    visitor: Visitor,
    area: Area,
    Query(at): Query<At>,
) -> Result<Response, Refusal> {
    let Some(session) = at.session else {
        let session = Key::latest_or_new(&desk, visitor.device.id, area)?;
        return Ok(Go(format!("{}?session={session}", area.page())).into_response());
    };
    page(desk, visitor, area, &session, at.bin).await
}

/// The page of a session as it stands; nothing is begun by looking.
pub(super) async fn page(
    desk: Arc<Desk>,
    visitor: Visitor,
    area: Area,
    session: &str,
    bin: String,
) -> Result<Response, Refusal> {
    let key = Key::new(visitor.device.id, area, session)?;
    let (at, id) = (Arc::clone(&desk), key.id.clone());
    let (state, said, readings) = on_a_thread(move || {
        if let Some(held) = at.sessions.get(&key) {
            let mut held = hold(&held);
            let state = held.work.state(&at, &key.id)?;
            return Ok((state, held.last().cloned(), held.readings()));
        }
        let mut work = Work::begin(&mut at.writer(), area, &bin)?;
        Ok((work.state(&at, &key.id)?, None, 0))
    })
    .await?;
    show(&desk, &visitor, area, id, state, said, readings)
}

fn show(
    desk: &Desk,
    visitor: &Visitor,
    area: Area,
    session: String,
    state: State,
    said: Option<Said>,
    readings: usize,
) -> Result<Response, Refusal> {
    let (title, place, ask) = match area {
        Area::Stow => ("Stow", Place::Stow, "Scan a bin, then what goes into it"),
        Area::Pick => ("Pick", Place::Pick, "Scan the tag of each item as you take it"),
        Area::Count => ("Count", Place::Count, "Scan all that is in the bin"),
        Area::Regroup => ("Regroup", Place::Regroup, "Scan items as you take them, and bins as you put them in"),
    };
    let shell = visitor.shell(desk, title, place);
    let photo = Area::PHOTOGRAPHED.contains(&area);
    let (area, scan) = (area.name(), new_id()?);
    Ok(Page(ScanPage { shell, area, ask, session, scan, said, state, readings, photo }).into_response())
}

/// Takes one reading.
pub(super) fn take(desk: &Desk, key: &Key, form: &ScanForm) -> Result<Taken, Refusal> {
    let held = open(desk, key, form)?;
    let mut held = hold(&held);
    let said = one(desk, &mut held, &form.scan, &form.text, &form.bin)?;
    stand(desk, &mut held, key, said)
}

/// Takes many readings at once, each with a number of its own, so that all of it may be sent again.
pub(super) fn take_all(desk: &Desk, key: &Key, form: &ScanForm, texts: &[String]) -> Result<Taken, Refusal> {
    let held = open(desk, key, form)?;
    let mut held = hold(&held);
    if texts.is_empty() {
        let text = "Go nearer, hold the camera still, and see that nothing lies on the tags.";
        let said = Said::new(Sound::Bad, "Photograph", "No tag or sign was read", text);
        return stand(desk, &mut held, key, said);
    }
    let mut all = Vec::with_capacity(texts.len());
    for (index, text) in texts.iter().enumerate() {
        let bin = if index == 0 { form.bin.as_str() } else { "" };
        all.push(one(desk, &mut held, &format!("{}-{index}", form.scan), text, bin)?);
    }
    stand(desk, &mut held, key, together(&all))
}

fn stand(desk: &Desk, held: &mut Held, key: &Key, said: Said) -> Result<Taken, Refusal> {
    let state = held.work.state(desk, &key.id)?;
    Ok(Taken { said, state, readings: held.readings() })
}

fn open(desk: &Desk, key: &Key, form: &ScanForm) -> Result<Arc<std::sync::Mutex<Held>>, Refusal> {
    if !is_id(&form.scan) {
        return Err(Refusal::input("This page is not whole. Open it anew."));
    }
    if let Some(held) = desk.sessions.get(key) {
        return Ok(held);
    }
    if key.area == Area::Count {
        refuse_ended(desk, key, form)?;
    }
    let work = Work::begin(&mut desk.writer(), key.area, &form.bin)?;
    Ok(desk.sessions.open(key.clone(), work))
}

/// What a count has read lives in memory, and ends with it.
fn refuse_ended(desk: &Desk, key: &Key, form: &ScanForm) -> Result<(), Refusal> {
    if desk.ask(|register| recorded(register, &key.id))?.is_some() {
        return Err(Refusal::input(RECORDED));
    }
    if form.begun > 0 { Err(Refusal::input(LOST)) } else { Ok(()) }
}

/// A scan that came before changes nothing; `bin` is the one that its page shows.
fn one(desk: &Desk, held: &mut Held, scan: &str, text: &str, bin: &str) -> Result<Said, Refusal> {
    if let Some(said) = held.before(scan) {
        return Ok(said);
    }
    let said = desk.change_together(|register| first_time(register, &mut held.work, (scan, text), bin))?;
    held.remember(scan, &said);
    Ok(said)
}

fn first_time(
    register: &mut Register,
    work: &mut Work,
    (scan, text): (&str, &str),
    bin: &str,
) -> Result<Said, Refusal> {
    // From before a new start of the desk.
    if let Some(change) = register.change_of_scan(scan)? {
        return Ok(Said::before(&change));
    }
    work.look_at(register, bin)?;
    let (text, is_cut) = match text.char_indices().nth(LONGEST) {
        Some((end, _)) => (&text[..end], true),
        None => (text, false),
    };
    let terms = Terms { scan: Some(scan.to_owned()), unchanged: Vec::new() };
    Ok(register.on(terms, |register| work.take(register, text, is_cut)))
}

/// One answer to many readings.
fn together(all: &[Said]) -> Said {
    let of = |sound: Sound| all.iter().filter(move |said| said.sound == sound);
    let (good, bad) = (of(Sound::Good).count(), of(Sound::Bad).count());
    let sound = if bad > 0 { Sound::Bad } else { Sound::Good };
    let title = format!("{} read", crate::job::count(all.len() as u64, "tag"));
    let text = format!("{good} taken, {bad} refused, {} without effect", all.len() - good - bad);
    let lines = of(Sound::Bad).map(|said| format!("{}, {}: {}", said.word, said.title, said.text));
    let warnings = lines.chain(all.iter().flat_map(|said| said.warnings.clone())).collect();
    let plate = all.iter().rev().find_map(|said| said.plate.clone());
    Said { plate, warnings, ..Said::new(sound, "Photograph", title, text) }
}
