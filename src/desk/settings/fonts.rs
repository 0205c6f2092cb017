//! Fonts of the user: which there are, one more by its file, one less.

use std::{path::Path, sync::Arc};

use askama::Template;
use axum::{
    Form,
    extract::{Multipart, State, multipart::MultipartError},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::shell;
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Shell, Told, Visitor},
        state::Desk,
    },
    job::{FontState, KeptFont, count, font_folder, font_states, keep_font, remove_font},
};

/// The largest file; those with all letters of East Asia have 20 to 30 MB.
pub(super) const LARGEST: usize = 40_000_000;
/// What is sent around it.
pub(super) const AROUND: usize = 64 * 1024;

#[derive(Debug, Template)]
#[template(path = "settings_fonts.html")]
struct FontsPage {
    shell: Shell,
    tab: &'static str,
    fonts: Vec<FontView>,
    /// Where fonts lie that were sent.
    folder: String,
    refused: Option<String>,
}

impl FontsPage {
    /// Whether one keeps labels from being printed.
    fn has_fault(&self) -> bool {
        self.fonts.iter().any(|font| font.state != READY)
    }
}

#[derive(Debug)]
struct FontView {
    name: String,
    state: &'static str,
    file: String,
}

const READY: &str = "ready";

impl From<&FontState> for FontView {
    fn from(font: &FontState) -> Self {
        let state = match font.word() {
            "ready" => READY,
            "changed" => "the file is another one than was added",
            "missing" => "the file is not there",
            _ => "the file can’t be used",
        };
        Self { name: font.font.family.clone(), state, file: font.font.path.clone() }
    }
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    fonts_page(&desk, &visitor, None).await
}

async fn fonts_page(desk: &Arc<Desk>, visitor: &Visitor, refused: Option<String>) -> Result<Page<FontsPage>, Refusal> {
    let fonts = desk.read(font_states).await?.iter().map(FontView::from).collect();
    let folder = font_folder(desk.path());
    let folder = std::path::absolute(&folder).unwrap_or(folder).display().to_string();
    Ok(Page(FontsPage { shell: shell(desk, visitor), tab: "fonts", fonts, folder, refused }))
}

/// Takes a font.
pub(super) async fn add(State(desk): State<Arc<Desk>>, visitor: Visitor, sent: Multipart) -> Result<Response, Refusal> {
    let added = match file_of(sent).await {
        Ok((name, bytes)) => desk.change(move |register| keep_font(register, &name, bytes)).await,
        Err(refusal) => Err(refusal),
    };
    answer(&desk, &visitor, added.map(|kept| told(&kept))).await
}

fn told(KeptFont { font, was_there }: &KeptFont) -> String {
    let (name, characters) = (&font.family, count(font.characters as u64, "character"));
    if *was_there {
        format!("{name} was added before.")
    } else {
        format!("{name} is added. Its {characters} stand in for what the built-in faces lack.")
    }
}

/// The name and what is in the file that was chosen.
async fn file_of(mut sent: Multipart) -> Result<(String, Vec<u8>), Refusal> {
    while let Some(field) = sent.next_field().await.map_err(unsent)? {
        let name = field.file_name().unwrap_or_default().chars().take(100).collect();
        let is_file = field.name() == Some("file");
        let bytes = field.bytes().await.map_err(unsent)?;
        if is_file && !bytes.is_empty() {
            return Ok((name, bytes.to_vec()));
        }
    }
    Err(Refusal::input("Choose the font’s file."))
}

#[allow(clippy::needless_pass_by_value, reason = "as `map_err` gives it")]
fn unsent(fault: MultipartError) -> Refusal {
    let text = match fault.status() {
        StatusCode::PAYLOAD_TOO_LARGE => "The file is larger than 40 MB, and no font that is of use here is.",
        _ => "The file did not arrive whole. Send it again.",
    };
    Refusal::new(fault.status(), text)
}

#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct FontForm {
    /// As the page shows it.
    file: String,
}

/// Forgets a font; its file stays.
pub(super) async fn remove(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<FontForm>,
) -> Result<Response, Refusal> {
    let removed = desk.change(move |register| remove_font(register, Path::new(&form.file))).await;
    let told = removed.map(|font| format!("{} is not used any more. Its file stays where it is.", font.family));
    answer(&desk, &visitor, told).await
}

async fn answer(desk: &Arc<Desk>, visitor: &Visitor, told: Result<String, Refusal>) -> Result<Response, Refusal> {
    match told {
        Ok(text) => {
            desk.tell(visitor.device.id, Told::done(text, None));
            Ok(Go("/settings/fonts".into()).into_response())
        }
        Err(refusal) => {
            let page = fonts_page(desk, visitor, Some(refusal.text)).await?;
            Ok((refusal.status, page).into_response())
        }
    }
}
