//! Lists on paper: the round, a bin's items to tick, the moves of a plan. The browser shows them and prints them.

use std::sync::Arc;

use axum::extract::{Query, State as Shared};
use serde::Deserialize;

use super::pick::today;
use crate::{
    desk::{
        answer::{FileAnswer, Refusal},
        state::Desk,
    },
    job::{
        ListPdf, RoundPageOptions, bin_by_text, fonts_known, moves_pdf, open_plan, round as round_of, round_pdf,
        round_size, tick_list_pdf,
    },
    register::{Register, RegisterError},
};

fn options(register: &Register, size: String) -> Result<RoundPageOptions, Refusal> {
    Ok(RoundPageOptions { paper: None, fonts: fonts_known(register)?, out: None, force: false, day: today(), size })
}

fn file(name: String, list: ListPdf) -> FileAnswer {
    FileAnswer { name, mime: "application/pdf", keep: false, bytes: list.bytes }
}

/// The picking round.
pub(super) async fn round(Shared(desk): Shared<Arc<Desk>>) -> Result<FileAnswer, Refusal> {
    let list = desk
        .read(|register| {
            let stops = round_of(register)?;
            if stops.is_empty() {
                return Err(Refusal::nothing("Nothing is to be picked."));
            }
            Ok(round_pdf(register, &stops, &options(register, round_size(&stops))?)?)
        })
        .await?;
    Ok(file(format!("pick-{}.pdf", today()), list))
}

/// Which bin.
#[derive(Debug, Deserialize)]
pub(super) struct OfBin {
    bin: String,
}

/// A bin's items, to be ticked.
pub(super) async fn ticks(Shared(desk): Shared<Arc<Desk>>, Query(of): Query<OfBin>) -> Result<FileAnswer, Refusal> {
    let (bin, list) = desk
        .read(move |register| {
            let bin = bin_by_text(register, &of.bin)?;
            let list = tick_list_pdf(register, &bin)?;
            Ok::<_, Refusal>((bin.code, list))
        })
        .await?;
    Ok(file(format!("count-{bin}.pdf"), list))
}

/// What is left of the plan of moves.
pub(super) async fn moves(Shared(desk): Shared<Arc<Desk>>) -> Result<FileAnswer, Refusal> {
    let list = desk
        .read(|register| {
            let plan = open_plan(register)?.ok_or(RegisterError::NoRegroup)?;
            register.refuse_retired_targets(&plan.kept)?;
            if !plan.kept.moves.iter().any(|one| one.state.is_left()) {
                return Err(Refusal::nothing("Nothing is left to move."));
            }
            Ok(moves_pdf(register, &plan, &options(register, plan.size_text())?)?)
        })
        .await?;
    Ok(file(format!("moves-{}.pdf", today()), list))
}
