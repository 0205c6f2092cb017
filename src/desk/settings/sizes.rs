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
        bins::of_field,
        shell::{Shell, Told, Visitor},
        state::Desk,
    },
    job::{CountedSize, counted_sizes, remove_size, set_size},
    register::Title,
    unit::Volume,
};

#[derive(Debug, Template)]
#[template(path = "settings_sizes.html")]
struct SizesPage {
    shell: Shell,
    tab: &'static str,
    sizes: Vec<SizeView>,
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
}

impl From<&CountedSize> for SizeView {
    fn from(CountedSize { size, counts_as, is_median }: &CountedSize) -> Self {
        let by = match (size.is_set, is_median) {
            (true, _) => "as you set it",
            (_, true) => "the median of what is measured",
            _ => "the usual figure",
        };
        Self { name: size.name.clone(), counts_as: counts_as.litres().to_string(), by, is_set: size.is_set }
    }
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct SizeForm {
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
    let sizes = desk.read(counted_sizes).await?.iter().map(SizeView::from).collect();
    Ok(Page(SizesPage { shell: shell(desk, visitor), tab: "sizes", sizes, typed, refused }))
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
    let removed = desk.change_noting(move |register| remove_size(register, &form.name)).await;
    let told = removed.map(|(size, change)| Told::done(format!("{} is not set any more.", size.name), change));
    answer(&desk, &visitor, SizeForm::default(), told).await
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
