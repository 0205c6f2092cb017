//! A guide weight for lifting a bin.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::typed::{filled, of_field};
use crate::{
    desk::{
        answer::{Page, Refusal},
        shell::{Place, Shell, Visitor},
        state::Desk,
    },
    job::{
        Fill, LIFT_CAUTION, LiftPart, bin_by_text, count, fill_kilograms, fills, lift_advice, lift_parts, lift_pounds,
        lift_turn,
    },
    plan::{Handles, Lift},
    register::{Bin, Register},
    unit::{Mm, Pace, Spell, parse_cm},
};

/// What is asked; lengths in centimetres.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub(super) struct Question {
    bin: String,
    height: String,
    to: String,
    reach: String,
    handles: String,
    often: String,
    spell: String,
    angle: String,
}

#[derive(Debug, Template)]
#[template(path = "lift.html")]
struct LiftPage {
    shell: Shell,
    asked: Question,
    bin: Option<BinFacts>,
    answer: Option<Answer>,
    refused: Option<String>,
    caution: &'static str,
}

/// What is known of the bin's weight.
#[derive(Debug)]
struct BinFacts {
    code: String,
    /// What is in it and what it may hold.
    weight: Option<String>,
}

#[derive(Debug)]
struct Answer {
    /// `12.3`; none where it should not be lifted like that.
    guide: Option<[String; 2]>,
    parts: Vec<LiftPart>,
    advice: String,
}

impl Question {
    fn is_asked(&self) -> bool {
        [&self.height, &self.to, &self.reach].iter().any(|text| !text.is_empty())
    }

    fn lift(&self) -> Result<Lift, Refusal> {
        let length = |field: &str, text: &str| -> Result<Mm, Refusal> { of_field(field, parse_cm(text)) };
        let mut lift = Lift::seldom(
            length("Height at the start", &self.height)?,
            length("Height at the end", &self.to)?,
            length("Reach", &self.reach)?,
        );
        if let Some(handles) = Handles::by_word(&self.handles) {
            lift.handles = handles;
        }
        if let Some(often) = filled(&self.often) {
            lift.often = of_field("How often", Pace::parse(often))?;
        }
        if let Some(spell) = filled(&self.spell) {
            lift.spell = of_field("For how long", Spell::parse(spell))?;
        }
        if let Some(angle) = filled(&self.angle) {
            lift.angle = of_field("Turn", lift_turn(angle))?;
        }
        Ok(lift)
    }
}

impl Answer {
    fn of(lift: &Lift) -> Self {
        let parts = lift_parts(lift);
        let guide =
            lift.guide().map(|weight| [weight.kilograms(), lift_pounds(lift)].map(|number| format!("{number:.1}")));
        Self { guide, advice: Refusal::words(&lift_advice(&parts)), parts }
    }
}

fn facts(register: &Register, code: &str) -> Result<BinFacts, Refusal> {
    let bin = bin_by_text(register, code).map_err(|fault| Refusal::nothing(Refusal::from(fault).text))?;
    let fill = fills(register, std::slice::from_ref(&bin))?.and_then(|fills| fills.first().copied());
    let weight = fill.and_then(|fill| weight_text(&bin, &fill));
    Ok(BinFacts { code: bin.code.to_string(), weight })
}

/// Nothing is said where no limit is known.
fn weight_text(bin: &Bin, fill: &Fill) -> Option<String> {
    let most = bin.room.max_weight?;
    if !fill.knows_weight() {
        return Some(format!("{} may hold {most} at most; of nothing in it the weight is known.", bin.code));
    }
    let (weight, assumed) = (fill_kilograms(&bin.room, fill), fill.weights_assumed);
    let assumed = if assumed > 0 { format!(" ({} assumed)", count(assumed as u64, "weight")) } else { String::new() };
    Some(format!("What is in {} weighs {weight} kg{assumed}. The bin itself comes on top.", bin.code))
}

pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(asked): Query<Question>,
) -> Result<Response, Refusal> {
    let bin = match filled(&asked.bin).map(str::to_owned) {
        Some(code) => Some(desk.read(move |register| facts(register, &code)).await?),
        None => None,
    };
    let (answer, refused) = match asked.is_asked().then(|| asked.lift()).transpose() {
        Ok(lift) => (lift.as_ref().map(Answer::of), None),
        Err(refusal) => (None, Some(refusal.text)),
    };
    let status = if refused.is_some() { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    let shell = visitor.shell(&desk, "Guide weight", Place::Bins);
    let page = LiftPage { shell, asked, bin, answer, refused, caution: LIFT_CAUTION };
    Ok((status, Page(page)).into_response())
}
