//! Sold items from a list of orders: chosen, dropped or pasted, looked at, and only then entered.

mod entered;

pub(super) use entered::enter;

use std::{path::PathBuf, sync::Arc};

use askama::Template;
use axum::{
    extract::{Multipart, Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};

use super::super::{
    answer::{FileAnswer, Go, Page, Refusal},
    items::Upload,
    sent::{Sent, SentQuery},
    shell::{Place, Shell, Visitor},
    state::Desk,
    table_file::{BadLines, ColumnRow, Columns, dates, fault_text, fields, given, rows_left_out},
    words::{desk_words, sentence},
};
use crate::{
    exchange::ORDERS,
    job::{
        ByTitle, DraftSale, ImportError, OrderDraft, OrderOptions, Settings, count, draft_orders_of, order_columns,
        today,
    },
    register::Register,
    unit::{Currency, Money},
};

/// Sales and bad lines that are shown.
const SHOWN: usize = 500;

#[derive(Debug, Template)]
#[template(path = "takings_orders.html")]
struct GivePage {
    shell: Shell,
    tab: &'static str,
    pasted: String,
    refused: Option<String>,
}

/// Where a file is chosen.
pub(super) async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Page<impl Template> {
    let shell = visitor.shell(&desk, "Orders", Place::Takings);
    Page(GivePage { shell, tab: "orders", pasted: String::new(), refused: None })
}

/// Takes a file, and leads to the page that shows what is in it.
pub(super) async fn give(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    sent: Multipart,
) -> Result<Response, Refusal> {
    let file = given(sent).await?;
    let pasted = file.pasted();
    let looked = desk
        .read(move |register| {
            order_columns(register, file.rows()?, &options(&file.name))?;
            Ok::<_, Refusal>(file)
        })
        .await;
    match looked {
        Ok(file) => {
            let id = desk.drafts.keep(visitor.device.id, file.name, file.bytes)?;
            Ok(Go(address(&id)).into_response())
        }
        Err(refusal) => {
            let shell = visitor.shell(&desk, "Orders", Place::Takings);
            let page = Page(GivePage { shell, tab: "orders", pasted, refused: Some(refusal.text) });
            Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

fn address(id: &str) -> String {
    format!("/takings/orders/{id}")
}

/// As the file itself tells; titles that may be meant are looked at by the user.
fn options(name: &str) -> OrderOptions {
    OrderOptions {
        file: PathBuf::from(name),
        skip_bad: true,
        columns: Vec::new(),
        dates: None,
        remember_dates: false,
        by_title: ByTitle::Shown,
        today: today(),
    }
}

/// What the user wants of a file.
struct Wish {
    columns: Columns,
    options: OrderOptions,
}

impl Wish {
    fn new(register: &Register, upload: &Upload, sent: &Sent) -> Result<Self, Refusal> {
        let options = options(&upload.name);
        let columns = Columns::new(order_columns(register, &upload.bytes, &options)?, sent);
        let (asked, dates) = (columns.asked(), dates(sent));
        let options = OrderOptions { columns: asked, dates, remember_dates: dates.is_some(), ..options };
        Ok(Self { columns, options })
    }
}

#[derive(Debug, Template)]
#[template(path = "takings_orders_look.html")]
struct LookPage {
    shell: Shell,
    tab: &'static str,
    id: String,
    name: String,
    size: String,
    columns: Vec<ColumnRow>,
    fields: Vec<(&'static str, String)>,
    dates: String,
    /// Why nothing was entered.
    refused: Option<String>,
    preview: PreviewPart,
}

#[derive(Debug, Default, Template)]
#[template(path = "takings_orders_part.html")]
struct PreviewPart {
    id: String,
    /// Where the rows that are left out can be had.
    rest: Option<String>,
    /// Why nothing can be entered.
    fault: Option<String>,
    notes: Vec<String>,
    bad: BadLines,
    sales: Vec<SaleRow>,
    more_sales: usize,
    known: Vec<String>,
    enters: Option<String>,
    /// What goes with the button, so that just this is entered.
    seen: String,
}

#[derive(Debug)]
struct SaleRow {
    code: String,
    title: String,
    /// The title in the file, where that is all that it was found by.
    by_title: Option<String>,
    day: String,
    order: String,
    price: String,
    fees: String,
    postage: String,
}

impl SaleRow {
    fn new(draft: &DraftSale, currency: &Currency) -> Self {
        let amount = |money: Money| currency.format(money);
        Self {
            code: draft.item.name(),
            title: draft.item.title.clone(),
            by_title: draft.by_title.as_ref().map(|title| title.as_str().to_owned()),
            day: draft.sale.day.to_string(),
            order: draft.sale.order.as_ref().map(|order| order.as_str().to_owned()).unwrap_or_default(),
            price: draft.sale.price.map_or_else(|| "not known".into(), amount),
            fees: amount(draft.sale.fees),
            postage: amount(draft.sale.postage),
        }
    }
}

/// What is in a file, and what would come of it; when it is in, what came of it.
pub(super) async fn look(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(sent): SentQuery,
) -> Result<Response, Refusal> {
    if let Some(sold) = desk.drafts.get(visitor.device.id, &id)?.sold() {
        return Ok(entered::page(&desk, &visitor, id, sold));
    }
    let page = look_page(&desk, &visitor, &id, sent.into()).await?;
    Ok(if visitor.wants_part { Page(page.preview).into_response() } else { Page(page).into_response() })
}

async fn look_page(desk: &Arc<Desk>, visitor: &Visitor, id: &str, sent: Sent) -> Result<LookPage, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, id)?;
    let shell = visitor.shell(desk, "Orders", Place::Takings);
    desk.read(move |register| LookPage::new(register, &upload, &sent, shell)).await
}

impl LookPage {
    fn new(register: &Register, upload: &Upload, sent: &Sent, shell: Shell) -> Result<Self, Refusal> {
        let Wish { columns, options } = Wish::new(register, upload, sent)?;
        let mut preview = PreviewPart { id: upload.id.clone(), ..PreviewPart::default() };
        match draft_orders_of(register, &upload.bytes, &options) {
            Ok(draft) => {
                let rest = (!draft.refused.is_empty()).then(|| sent.address(&(address(&upload.id) + "/refused.csv")));
                preview.fill(&draft, rest, &Settings::of(register)?.currency);
            }
            Err(fault) => preview.refuse(&fault),
        }
        Ok(Self {
            shell,
            tab: "orders",
            id: upload.id.clone(),
            name: upload.name.clone(),
            size: columns.size(),
            columns: columns.rows(),
            fields: fields(&ORDERS),
            dates: sent.one("dates").to_owned(),
            refused: None,
            preview,
        })
    }
}

impl PreviewPart {
    fn refuse(&mut self, fault: &ImportError) {
        self.fault = Some(match fault {
            ImportError::Rows { refused, .. } => {
                self.bad = BadLines::of(refused, SHOWN);
                "No row is in order. Mend the file, and choose it again.".into()
            }
            other => fault_text(other),
        });
    }

    fn fill(&mut self, draft: &OrderDraft, rest: Option<String>, currency: &Currency) {
        self.rest = rest;
        self.bad = BadLines::of(&draft.refused, SHOWN);
        let unread = draft.mapping.unread();
        let unread = (!unread.is_empty()).then(|| format!("Not read: {}.", unread.join(", ")));
        self.notes = unread.into_iter().chain(draft.notes.iter().map(|note| desk_words(&note.to_string()))).collect();
        // Those that somebody has to look at come first.
        let mut sales: Vec<&DraftSale> = draft.sales.iter().collect();
        sales.sort_by_key(|sale| sale.by_title.is_none());
        self.sales = sales.into_iter().take(SHOWN).map(|sale| SaleRow::new(sale, currency)).collect();
        self.more_sales = draft.sales.len() - self.sales.len();
        self.known = draft.known.iter().take(SHOWN).map(|row| sentence(&row.to_string())).collect();
        self.seen = draft.fingerprint();
        let sales = draft.sales.len();
        self.enters = (sales > 0).then(|| format!("Enter {}", count(sales as u64, "sale")));
    }
}

/// The rows that are left out, to be mended.
pub(super) async fn refused(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(id): Path<String>,
    Query(sent): SentQuery,
) -> Result<FileAnswer, Refusal> {
    let upload = desk.drafts.get(visitor.device.id, &id)?;
    let name = upload.name.clone();
    if let Some(sold) = upload.sold() {
        return Ok(rows_left_out(&name, sold.refused_csv.clone()));
    }
    let bytes = desk
        .read(move |register| {
            let options = Wish::new(register, &upload, &sent.into())?.options;
            Ok::<_, Refusal>(draft_orders_of(register, &upload.bytes, &options)?.refused_csv().to_vec())
        })
        .await?;
    Ok(rows_left_out(&name, bytes))
}
