//! Find: a field that a reader types into, and the answer, to be read from a step away.
//!
//! Start with [`page`]. A register in which nothing was printed yet shows the way to the first find instead.

mod card;

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use self::card::Card;
use super::{
    answer::{Page, Refusal},
    shell::{Place, Shell, Visitor},
    state::Desk,
    words::sentence,
};
use crate::{
    code::Origin,
    job::{FindAnswer, find},
    register::{Begun, Register, RegisterError},
};

/// Matches that are shown.
const MOST: usize = 30;

#[derive(Debug, Deserialize)]
pub(super) struct Question {
    #[serde(default)]
    q: String,
}

#[derive(Debug, Template)]
#[template(path = "find.html")]
struct FindPage {
    shell: Shell,
    query: String,
    answer: AnswerPart,
}

#[derive(Debug, Template)]
#[template(path = "find_answer.html")]
pub(super) struct AnswerPart {
    looks_only: bool,
    begun: Begun,
    answer: Option<Answer>,
}

impl AnswerPart {
    /// Whether there is nothing yet that could be found.
    fn is_new(&self) -> bool {
        !self.begun.bins && !self.begun.items
    }

    /// Whether the way to the first find is shown.
    fn leads(&self) -> bool {
        self.answer.is_none() && !(self.begun.bins && self.begun.items && self.begun.printed)
    }

    /// The steps of that way, and whether each is done.
    fn steps(&self) -> [bool; 3] {
        [self.begun.bins, self.begun.items, self.begun.printed]
    }

    /// Whether this step, from 1, is the one to take.
    fn is_next(&self, step: usize) -> bool {
        self.steps().iter().position(|done| !done) == Some(step - 1)
    }
}

/// What was found.
#[derive(Debug)]
struct Answer {
    query: String,
    cards: Vec<Card>,
    near: Vec<String>,
    more: bool,
    repaired: Option<String>,
}

impl Answer {
    fn of(register: &Register, found: &FindAnswer) -> Result<Self, RegisterError> {
        let cards = (0..found.matches.len()).map(|at| Card::of(register, found, at)).collect::<Result<_, _>>()?;
        Ok(Self {
            query: found.query.clone(),
            cards,
            near: found.near.clone(),
            more: found.more,
            repaired: found.repaired_text().map(|text| sentence(&text)),
        })
    }

    /// The only match, which is shown large and with what can be done.
    fn is_alone(&self) -> bool {
        self.cards.len() == 1
    }
}

/// The page, or with a question that is being typed its answer alone.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(question): Query<Question>,
) -> Result<Response, Refusal> {
    let query = question.q.trim().to_owned();
    let (looks_only, asked) = (visitor.device.looks_only, query.clone());
    let answer = desk.read(move |register| look(register, &asked, looks_only)).await?;
    if visitor.wants_part {
        return Ok(Page(answer).into_response());
    }
    let shell = visitor.shell(&desk, "Find", Place::Find);
    Ok(Page(FindPage { shell, query, answer }).into_response())
}

fn look(register: &Register, asked: &str, looks_only: bool) -> Result<AnswerPart, RegisterError> {
    let found = (!asked.is_empty()).then(|| find(register, asked, Origin::Typed, MOST)).transpose()?;
    let answer = found.map(|found| Answer::of(register, &found)).transpose()?;
    Ok(AnswerPart { looks_only, begun: register.begun()?, answer })
}

/// What was found in another way, shown as an answer here.
pub(super) fn found_part(
    register: &Register,
    found: &FindAnswer,
    looks_only: bool,
) -> Result<AnswerPart, RegisterError> {
    Ok(AnswerPart { looks_only, begun: register.begun()?, answer: Some(Answer::of(register, found)?) })
}

#[derive(Debug, Template)]
#[template(path = "unknown.html")]
struct UnknownPage {
    shell: Shell,
    code: String,
    near: Vec<String>,
}

/// What a link tag leads to is not known here: says so, with codes that may have been meant.
pub(super) fn unknown(visitor: &Visitor, desk: &Desk, code: String, near: Vec<String>) -> Response {
    let shell = visitor.shell(desk, "Not known", Place::Find);
    (StatusCode::NOT_FOUND, Page(UnknownPage { shell, code, near })).into_response()
}
