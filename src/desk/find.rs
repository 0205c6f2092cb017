//! Find: a field that a reader types into, and the answer, to be read from a step away.

use std::sync::Arc;

use askama::Template;
use axum::{
    extract::{Query, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    answer::{Page, Refusal},
    shell::{Place, Shell, Visitor},
    state::Desk,
};
use crate::{
    code::Origin,
    job::{FindAnswer, find, place_text, whereabouts},
    register::Found,
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
struct AnswerPart {
    answer: Option<FindAnswer>,
}

impl AnswerPart {
    fn place(found: &Found) -> String {
        match found {
            Found::Item(item) => whereabouts(item),
            Found::Bin(bin) => place_text(&bin.place),
        }
    }
}

/// The page, or with a question that is being typed its answer alone.
pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Query(question): Query<Question>,
) -> Result<Response, Refusal> {
    let query = question.q.trim().to_owned();
    let asked = query.clone();
    let answer = desk
        .read(move |register| {
            let is_asked = !asked.is_empty();
            is_asked.then(|| find(register, &asked, Origin::Typed, MOST)).transpose()
        })
        .await?;
    let answer = AnswerPart { answer };
    if visitor.wants_part {
        return Ok(Page(answer).into_response());
    }
    let shell = visitor.shell(&desk, "Find", Place::Find);
    Ok(Page(FindPage { shell, query, answer }).into_response())
}
