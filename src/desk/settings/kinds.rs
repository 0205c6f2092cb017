//! Kinds of bins: equal tubs, boxes or drawers, and how much one holds.

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
        bins::{RoomTexts, fingerprint, of_field, require_seen},
        shell::{Shell, Told, Visitor},
        state::Desk,
    },
    job::{count, room_doubt},
    register::{BinKind, Edit, Register, RoomEdit, Title},
};

#[derive(Debug, Template)]
#[template(path = "settings_kinds.html")]
struct KindsPage {
    shell: Shell,
    tab: &'static str,
    kinds: Vec<KindView>,
    /// What was typed for a new one.
    typed: KindForm,
    refused: Option<String>,
}

#[derive(Debug)]
struct KindView {
    name: String,
    room: RoomTexts,
    bins: u32,
    bins_text: String,
    seen: String,
}

impl From<BinKind> for KindView {
    fn from(kind: BinKind) -> Self {
        Self {
            room: RoomTexts::of(&kind.room),
            bins: kind.bins,
            bins_text: if kind.bins == 0 { "no bin is of it".into() } else { count(kind.bins.into(), "bin") },
            seen: fingerprint(&kind.room),
            name: kind.name,
        }
    }
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct KindForm {
    seen: String,
    name: String,
    #[serde(flatten)]
    room: RoomTexts,
}

pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    kinds_page(&desk, &visitor, KindForm::default(), None).await
}

/// What was typed for a kind that there is stands in its row again.
async fn kinds_page(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    mut typed: KindForm,
    refused: Option<String>,
) -> Result<Page<KindsPage>, Refusal> {
    let kinds = desk.read(Register::bin_kinds).await?;
    let mut kinds: Vec<KindView> = kinds.into_iter().map(KindView::from).collect();
    if let Some(kind) = kinds.iter_mut().find(|kind| !typed.seen.is_empty() && kind.name == typed.name) {
        kind.room = typed.room;
        typed = KindForm::default();
    }
    Ok(Page(KindsPage { shell: shell(desk, visitor), tab: "kinds", kinds, typed, refused }))
}

/// Adds a kind.
pub(super) async fn add(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<KindForm>,
) -> Result<Response, Refusal> {
    let typed = form.clone();
    let added = desk
        .change_noting(move |register| {
            let name = of_field("Name", Title::new(&typed.name))?;
            Ok::<_, Refusal>(register.add_kind(&name, typed.room.read()?)?)
        })
        .await;
    let told = added.map(|(kind, change)| {
        let doubt = room_doubt(&kind.name, &kind.room);
        Told::doubted(format!("The kind {} is added.", kind.name), doubt, change)
    });
    answer(&desk, &visitor, KindForm { seen: String::new(), ..form }, told).await
}

/// Changes how much bins of a kind hold that have no figures of their own.
pub(super) async fn edit(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<KindForm>,
) -> Result<Response, Refusal> {
    let typed = form.clone();
    let edited = desk.change_noting(move |register| edit_kind(register, &typed)).await;
    let told = edited.map(|(kind, change)| match change {
        None => Told::done("All of this is so already.", None),
        change => Told::doubted(
            format!("Saved. It holds for all bins of the kind {} that have no figures of their own.", kind.name),
            room_doubt(&kind.name, &kind.room),
            change,
        ),
    });
    answer(&desk, &visitor, form, told).await
}

fn edit_kind(register: &mut Register, form: &KindForm) -> Result<BinKind, Refusal> {
    let kind = register.bin_kind(&form.name)?;
    require_seen(&form.seen, &fingerprint(&kind.room))?;
    let (now, wanted) = (kind.room, form.room.read()?);
    let edit = RoomEdit {
        volume: Edit::where_it(now.volume != wanted.volume, wanted.volume),
        max_weight: Edit::where_it(now.max_weight != wanted.max_weight, wanted.max_weight),
        inside: Edit::where_it(now.inside != wanted.inside, wanted.inside),
    };
    register.edit_kind(&kind.name, &edit)?;
    Ok(register.bin_kind(&kind.name)?)
}

/// Removes a kind that no bin is of.
pub(super) async fn remove(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Form(form): Form<KindForm>,
) -> Result<Response, Refusal> {
    let removed = desk
        .change_noting(move |register| {
            let kind = register.bin_kind(&form.name)?;
            register.remove_kind(&kind.name).map(|()| kind.name)
        })
        .await;
    let told = removed.map(|(name, change)| Told::done(format!("The kind {name} is removed."), change));
    answer(&desk, &visitor, KindForm::default(), told).await
}

async fn answer(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    typed: KindForm,
    told: Result<Told, Refusal>,
) -> Result<Response, Refusal> {
    match told {
        Ok(told) => {
            desk.tell(visitor.device.id, told);
            Ok(Go("/settings/kinds".into()).into_response())
        }
        Err(refusal) => {
            let page = kinds_page(desk, visitor, typed, Some(refusal.text)).await?;
            Ok((refusal.status, page).into_response())
        }
    }
}
