//! A photograph of tags and signs, and what they stand for.
//!
//! Start with [`routes`]; a scanning session takes the bare codes from [`codes`]. Nothing of a picture is kept.

use std::{collections::HashMap, sync::Arc};

use askama::Template;
use axum::{
    Router,
    extract::{DefaultBodyLimit, Multipart, State},
    http::StatusCode,
    response::{IntoResponse, Response},
    routing::get,
};
use tokio::sync::Semaphore;

use super::{
    answer::{Page, Refusal},
    find::{AnswerPart, found_part},
    shell::{Place, Shell, Visitor},
    state::{Desk, on_a_thread},
};
use crate::job::{LARGEST_PHOTO, photo, photo_codes};

/// Pictures that are read at once: each takes all cores, and some hundred megabytes.
static AT_ONCE: Semaphore = Semaphore::const_new(2);
/// What a form has around its picture.
pub(super) const AROUND: usize = 1_000_000;
/// Fields beside the picture that are taken.
const FIELDS: usize = 10;

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/photo", get(page).post(read).layer(DefaultBodyLimit::max(LARGEST_PHOTO + AROUND)))
}

#[derive(Debug, Template)]
#[template(path = "photo.html")]
struct PhotoPage {
    shell: Shell,
    /// What was found; `None` before a picture was sent.
    answer: Option<PhotoPart>,
    refused: Option<String>,
}

/// What is in a picture.
#[derive(Debug)]
struct PhotoPart {
    count: usize,
    found: AnswerPart,
    unknown: Vec<String>,
}

async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Page<impl Template> {
    Page(PhotoPage { shell: visitor.shell(&desk, "Photograph", Place::Find), answer: None, refused: None })
}

async fn read(State(desk): State<Arc<Desk>>, visitor: Visitor, form: Multipart) -> Response {
    match answer(&desk, &visitor, form).await {
        Ok(answer) => respond(&desk, &visitor, StatusCode::OK, Some(answer), None),
        Err(refusal) => respond(&desk, &visitor, refusal.status, None, Some(refusal.text)),
    }
}

fn respond(
    desk: &Desk,
    visitor: &Visitor,
    status: StatusCode,
    answer: Option<PhotoPart>,
    refused: Option<String>,
) -> Response {
    let shell = visitor.shell(desk, "Photograph", Place::Find);
    (status, Page(PhotoPage { shell, answer, refused })).into_response()
}

async fn answer(desk: &Arc<Desk>, visitor: &Visitor, form: Multipart) -> Result<PhotoPart, Refusal> {
    let texts = codes(form).await?;
    let looks_only = visitor.device.looks_only;
    desk.read(move |register| {
        let answer = photo(register, &texts)?;
        let found = found_part(register, &answer.found, looks_only)?;
        Ok::<_, Refusal>(PhotoPart { count: answer.found.matches.len(), found, unknown: answer.unknown })
    })
    .await
}

/// What all symbols say in the photograph that a form brings in its field `photo`.
async fn codes(form: Multipart) -> Result<Vec<String>, Refusal> {
    codes_and_fields(form).await.map(|(codes, _)| codes)
}

/// The same, and the form's other fields.
pub(super) async fn codes_and_fields(mut form: Multipart) -> Result<(Vec<String>, HashMap<String, String>), Refusal> {
    let (mut file, mut fields) = (None, HashMap::new());
    while let Some(field) = form.next_field().await.map_err(|error| unsent(error.status()))? {
        let name = field.name().unwrap_or_default().to_owned();
        if name == "photo" {
            file = Some(field.bytes().await.map_err(|error| unsent(error.status()))?);
        } else if fields.len() < FIELDS {
            fields.insert(name, field.text().await.map_err(|error| unsent(error.status()))?);
        }
    }
    let file = file.ok_or_else(|| Refusal::input("No photograph came. Choose one, or take one."))?;
    let place = AT_ONCE.acquire().await?;
    let read = move || {
        // Also one that nobody waits for any more takes its place to its end.
        let _place = place;
        Ok(photo_codes(&file)?)
    };
    Ok((on_a_thread(read).await?, fields))
}

fn unsent(status: StatusCode) -> Refusal {
    let text = if status == StatusCode::PAYLOAD_TOO_LARGE {
        "The picture has more than 40 MB. Set the camera to take smaller ones."
    } else {
        "The picture did not arrive whole. Send it again."
    };
    Refusal::new(status, text)
}
