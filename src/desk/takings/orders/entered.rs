//! A list of orders goes in as it was shown, and what came of it.
//!
//! Start with [`enter`]. Whether it is what was shown is told by [`OrderDraft::enter_shown`](crate::job::OrderDraft::enter_shown).

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Path, State},
    response::{IntoResponse, Response},
};

use super::{
    super::super::{
        answer::{Go, Page, Refusal},
        items::{DraftState, Sold, Upload},
        sent::{Sent, SentForm},
        shell::{Place, Shell, Visitor},
        state::{Desk, locked},
        table_file::BadLines,
        words::grouped,
    },
    PreviewPart, SHOWN, Wish, address, look_page,
};
use crate::{
    job::{count, draft_orders_of},
    register::Register,
};

/// Sold items that are named.
const NAMED: usize = 10;

#[derive(Debug, Template)]
#[template(path = "takings_orders_done.html")]
struct DonePage {
    shell: Shell,
    tab: &'static str,
    id: String,
    sold: Arc<Sold>,
    bad: BadLines,
}

impl DonePage {
    /// `2 items sold. 1 bad row left out.`
    fn sum(&self) -> String {
        let (sold, left) = (self.sold.items.len() as u64, self.sold.refused.len() as u64);
        let left = if left > 0 { format!(" {} left out.", count(left, "bad row")) } else { String::new() };
        format!("{} sold.{left}", count(sold, "item"))
    }

    fn shown(&self) -> &[(String, String)] {
        &self.sold.items[..self.sold.items.len().min(NAMED)]
    }

    fn more(&self) -> String {
        grouped(self.sold.items.len() - self.shown().len())
    }
}

/// What came of a file. A page that still shows what would come of it is told so.
pub(super) fn page(desk: &Desk, visitor: &Visitor, id: String, sold: Arc<Sold>) -> Response {
    if visitor.wants_part {
        let fault = Some("This file was entered already. Load the page anew to see what came of it.".into());
        return Page(PreviewPart { id, fault, ..PreviewPart::default() }).into_response();
    }
    let shell = visitor.shell(desk, "Orders", Place::Takings);
    let bad = BadLines::of(&sold.refused, SHOWN);
    Page(DonePage { shell, tab: "orders", id, sold, bad }).into_response()
}

/// Enters what the page has shown, and nothing else.
pub(in super::super) async fn enter(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
    Form(sent): SentForm,
) -> Result<Response, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, &id)?;
    let sent = Sent::from(sent);
    let asked = sent.clone();
    let entered = desk.change(move |register| enter_once(register, &upload, &asked)).await;
    let Err(refusal) = entered else { return Ok(Go(address(&id)).into_response()) };
    let mut page = look_page(&desk, &visitor, &id, sent).await?;
    // What is wrong with the file the page says by itself.
    let is_told = page.preview.fault.is_some();
    page.refused = Some(if is_told { "Nothing was entered. Why, is told below.".into() } else { refusal.text });
    Ok((refusal.status, Page(page)).into_response())
}

/// A file that is in stays so: its button was pressed twice.
fn enter_once(register: &mut Register, file: &Upload, asked: &Sent) -> Result<(), Refusal> {
    if file.sold().is_some() {
        return Ok(());
    }
    let options = Wish::new(register, file, asked)?.options;
    let draft = draft_orders_of(register, &file.bytes, &options)?;
    let (refused, refused_csv) = (draft.refused.clone(), draft.refused_csv().to_vec());
    let (items, change) = register.noting(|register| draft.enter_shown(register, asked.one("seen")));
    let items = items?.iter().map(|item| (item.name(), item.title.clone())).collect();
    *locked(&file.state) = DraftState::Sold(Arc::new(Sold { items, refused, refused_csv, change }));
    Ok(())
}
