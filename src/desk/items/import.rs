//! A list of items from a spreadsheet: chosen, dropped or pasted, looked at, and only then entered.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Multipart, Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::{
    super::{
        answer::{FileAnswer, Go, Page, Refusal},
        sent::{Sent, SentForm, SentQuery},
        shell::{Place, Shell, Visitor},
        state::{Desk, locked},
        table_file::{given, rows_left_out},
        words::grouped,
        work::Work,
    },
    drafts::{self, Outcome, Upload},
    label_link,
    look::ImportPage,
    wish::{Wish, named, options_of},
};
use crate::{
    job::{ImportOptions, columns_of, count, draft_of, room_warnings},
    register::{Access, Item, Register},
};

/// New items whose tags are named one by one.
const NAMED: usize = 200;
/// New items that the outcome shows.
const SHOWN: usize = 10;

#[derive(Debug, Template)]
#[template(path = "import.html")]
struct GivePage {
    shell: Shell,
    pasted: String,
    fault: Option<String>,
}

/// Where a file is chosen.
pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Page<impl Template> {
    let shell = visitor.shell(&desk, "Import a list", Place::Items);
    Page(GivePage { shell, pasted: String::new(), fault: None })
}

/// Takes a file, and leads to the page that shows what is in it.
pub(super) async fn give(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    sent: Multipart,
) -> Result<Response, Refusal> {
    let file = given(sent).await?;
    let pasted = file.pasted();
    let looked = desk
        .read(move |register| {
            columns_of(register, file.rows()?, &named(&file.name))?;
            Ok::<_, Refusal>(file)
        })
        .await;
    match looked {
        Ok(file) => Ok(Go(address(&desk.drafts.keep(visitor.device.id, file.name, file.bytes)?)).into_response()),
        Err(refusal) => {
            let shell = visitor.shell(&desk, "Import a list", Place::Items);
            let page = Page(GivePage { shell, pasted, fault: Some(refusal.text) });
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

pub(super) fn address(id: &str) -> String {
    format!("/items/import/{id}")
}

#[derive(Debug, Template)]
#[template(path = "import_done.html")]
struct DonePage {
    shell: Shell,
    id: String,
    outcome: Arc<Outcome>,
    labels: Option<String>,
}

impl DonePage {
    /// `20,000 items came in, 3 of them wait for a bin.`
    fn sum(&self) -> String {
        let outcome = &self.outcome;
        let new =
            if outcome.new.len() == 1 { "1 item".into() } else { format!("{} items", grouped(outcome.new.len())) };
        let waits = match outcome.waiting {
            0 => String::new(),
            many if many == outcome.new.len() => format!(" and {} for a bin", if many == 1 { "waits" } else { "wait" }),
            1 => ", 1 of them waits for a bin".into(),
            many => format!(", {many} of them wait for a bin"),
        };
        format!("{new} came in{waits}.")
    }

    /// `3 items changed, 12 as they were.`
    fn known(&self) -> Option<String> {
        let (changed, same) = (self.outcome.changed, self.outcome.unchanged);
        (changed + same > 0).then(|| format!("{} changed, {same} as they were.", count(changed as u64, "item")))
    }

    fn more(&self) -> String {
        grouped(self.outcome.new.len() - self.shown().len())
    }

    fn shown(&self) -> &[(String, String)] {
        &self.outcome.new[..self.outcome.new.len().min(SHOWN)]
    }
}

/// What is in a file, and what would come of it; when it is in, what came of it.
pub(super) async fn look(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(sent): SentQuery,
) -> Result<Response, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, &id)?;
    let state = locked(&upload.state).clone();
    match state {
        drafts::State::Entered(outcome) => {
            let shell = visitor.shell(&desk, "Imported", Place::Items);
            return Ok(Page(done(shell, id, outcome)).into_response());
        }
        drafts::State::Entering(work) if !work.is_empty() && !visitor.wants_part => return Ok(Go(work).into_response()),
        _ => {}
    }
    let sent = Sent::from(sent);
    let wants_part = visitor.wants_part;
    let shell = visitor.shell(&desk, "Import a list", Place::Items);
    let page = desk.read(move |register| ImportPage::new(register, &upload, sent, shell)).await?;
    if wants_part { Ok(Page(page.preview).into_response()) } else { Ok(Page(page).into_response()) }
}

fn done(shell: Shell, id: String, outcome: Arc<Outcome>) -> DonePage {
    let codes: Vec<&str> =
        outcome.new.iter().map(|(code, _)| code.as_str()).filter(|code| !code.starts_with('#')).collect();
    let labels = match codes.len() {
        0 => None,
        few if few <= NAMED => Some(label_link(&codes)),
        _ => Some(Sent::default().with("what", Some("tags")).address("/labels")),
    };
    DonePage { shell, id, outcome, labels }
}

/// The rows that are left out, to be mended.
pub(super) async fn refused(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(sent): SentQuery,
) -> Result<FileAnswer, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, &id)?;
    let (name, state) = (upload.name.clone(), locked(&upload.state).clone());
    let bytes = match state {
        drafts::State::Entered(outcome) => outcome.refused_csv.clone(),
        _ => desk.read(move |register| refused_rows(register, &upload, &sent.into())).await?,
    };
    Ok(rows_left_out(&name, bytes))
}

fn refused_rows(register: &Register, upload: &Upload, sent: &Sent) -> Result<Vec<u8>, Refusal> {
    let options = Wish::new(register, upload, sent)?.options.map_err(|fault| Refusal::input(fault.text))?;
    Ok(draft_of(register, &upload.bytes, &options)?.refused_csv().to_vec())
}

/// Forgets a file.
pub(super) async fn forget(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Go, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, &id)?;
    desk.drafts.forget(&upload.id);
    Ok(Go("/items/import".into()))
}

/// Enters what the page has shown; that takes a while, and can be cancelled.
pub(super) async fn enter(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
    Form(sent): SentForm,
) -> Result<Response, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, &id)?;
    let sent = Sent::from(sent);
    let back = options_of(&sent).address(&address(&id));
    let (file, asked) = (Arc::clone(&upload), sent.clone());
    let options = desk.read(move |register| Wish::new(register, &file, &asked).map(|wish| wish.options)).await?;
    let Ok(options) = options else {
        let shell = visitor.shell(&desk, "Import a list", Place::Items);
        let page = desk.read(move |register| ImportPage::new(register, &upload, sent, shell)).await?;
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, Page(page)).into_response());
    };
    {
        let mut state = locked(&upload.state);
        match &*state {
            drafts::State::Open => *state = drafts::State::Entering(String::new()),
            drafts::State::Entering(work) if !work.is_empty() => return Ok(Go(work.clone()).into_response()),
            _ => return Ok(Go(address(&id)).into_response()),
        }
    }
    let (own, file) = (Arc::clone(&desk), Arc::clone(&upload));
    let go = desk.works.start("Entering items", Place::Items, &back, move |work| {
        let entered = enter_all(&own, &file, &options, work);
        let state = entered.as_ref().map_or(drafts::State::Open, |outcome| drafts::State::Entered(Arc::clone(outcome)));
        *locked(&file.state) = state;
        entered.map(|_| address(&file.id))
    });
    let mut state = locked(&upload.state);
    if matches!(*state, drafts::State::Entering(_)) {
        *state = drafts::State::Entering(go.0.clone());
    }
    drop(state);
    Ok(go.into_response())
}

fn enter_all(desk: &Desk, upload: &Upload, options: &ImportOptions, work: &Work) -> Result<Arc<Outcome>, Refusal> {
    let draft = draft_of(&Register::open(desk.path(), Access::Existing)?, &upload.bytes, options)?;
    let refused_csv = draft.refused_csv().to_vec();
    // Other changes wait meanwhile, and are made when this one is in.
    let mut register = desk.writer();
    let (imported, change) = register.noting(|register| draft.enter_rows(register, work));
    let imported = imported?;
    let all: Vec<Item> = imported.items.iter().chain(&imported.changed).cloned().collect();
    let warnings = room_warnings(&register, &all).unwrap_or_default();
    Ok(Arc::new(Outcome {
        waiting: imported.items.iter().filter(|item| item.code.is_none()).count(),
        new: imported.items.iter().map(|item| (item.name(), item.title.clone())).collect(),
        changed: imported.changed.len(),
        unchanged: imported.unchanged,
        refused: imported.refused.len(),
        refused_csv,
        change,
        warnings: warnings.iter().map(ToString::to_string).collect(),
    }))
}
