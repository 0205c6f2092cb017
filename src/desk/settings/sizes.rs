//! Names for sizes of items, and what they stand for.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::shell;
use crate::{
    desk::{
        answer::{Go, Page, Refusal},
        bins::{fingerprint, of_field, require_seen},
        shell::{Shell, Told, Visitor},
        state::Desk,
    },
    job::{CountedSize, counted_sizes, remove_size, set_size, size_by_text, sizes},
    plan::NamedSize,
    register::{Register, Title},
    unit::Volume,
};

#[derive(Debug, Template)]
#[template(path = "settings_sizes.html")]
struct SizesPage {
    shell: Shell,
    tab: &'static str,
    sizes: Vec<SizeView>,
    /// How all of them were when the page was made.
    seen: String,
    typed: SizeForm,
    refused: Option<String>,
}

#[derive(Debug)]
struct SizeView {
    name: String,
    counts_as: String,
    /// `set`, `median of what is measured`, `usual`
    by: &'static str,
    is_set: bool,
    seen: String,
}

impl From<&CountedSize> for SizeView {
    fn from(CountedSize { size, counts_as, is_median }: &CountedSize) -> Self {
        let by = match (size.is_set, is_median) {
            (true, _) => "as you set it",
            (_, true) => "the median of what is measured",
            _ => "the usual figure",
        };
        let (name, counts_as) = (size.name.clone(), counts_as.litres().to_string());
        Self { name, counts_as, by, is_set: size.is_set, seen: fingerprint(size) }
    }
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct SizeForm {
    /// How the size, or all of them, were when the form was made.
    seen: String,
    name: String,
    litres: String,
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    sizes_page(&desk, &visitor, SizeForm::default(), None).await
}

async fn sizes_page(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    typed: SizeForm,
    refused: Option<String>,
) -> Result<Page<SizesPage>, Refusal> {
    let counted = desk.read(counted_sizes).await?;
    let sizes = counted.iter().map(SizeView::from).collect();
    let all: Vec<_> = counted.into_iter().map(|counted| counted.size).collect();
    Ok(Page(SizesPage { shell: shell(desk, visitor), tab: "sizes", sizes, seen: fingerprint(&all), typed, refused }))
}

/// Sets a size, or makes one.
pub(super) async fn save(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<SizeForm>,
) -> Result<Response, Refusal> {
    let typed = form.clone();
    let saved = desk
        .change_noting(move |register| {
            let name = of_field("Name", Title::new(&typed.name))?;
            let volume = of_field("Litres", Volume::parse(&typed.litres))?;
            // One that is sent twice finds what it asks for.
            let is_so = size_by_text(register, name.as_str()).is_ok_and(|size| size.is_set && size.volume == volume);
            if !is_so {
                require_seen(&typed.seen, &fingerprint(&sizes(register)?))?;
            }
            Ok::<_, Refusal>(set_size(register, &name, volume)?)
        })
        .await;
    answer(
        &desk,
        &visitor,
        form,
        saved.map(|(size, change)| Told::done(format!("{} stands for {} now.", size.name, size.volume), change)),
    )
    .await
}

/// Forgets what a size was set to.
pub(super) async fn remove(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<SizeForm>,
) -> Result<Response, Refusal> {
    let removed = desk.change_noting(move |register| forget(register, &form)).await;
    let told = removed.map(|(size, change)| Told::done(format!("{} is not set any more.", size.name), change));
    answer(&desk, &visitor, SizeForm::default(), told).await
}

fn forget(register: &mut Register, form: &SizeForm) -> Result<NamedSize, Refusal> {
    let size = size_by_text(register, &form.name)?;
    if size.is_set {
        require_seen(&form.seen, &fingerprint(&size))?;
    }
    Ok(remove_size(register, &size.name)?)
}

async fn answer(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    typed: SizeForm,
    told: Result<Told, Refusal>,
) -> Result<Response, Refusal> {
    match told {
        Ok(told) => {
            desk.tell(visitor.device.id, told);
            Ok(Go("/settings/sizes".into()).into_response())
        }
        Err(refusal) => {
            let page = sizes_page(desk, visitor, typed, Some(refusal.text)).await?;
            Ok((refusal.status, page).into_response())
        }
    }
}
