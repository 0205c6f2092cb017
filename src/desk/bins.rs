//! Areas, spots and bins: as they stand, how full they are, what is in them.
//!
//! Start with [`routes`]. Where a thing stands is what someone said of it: only a look tells whether it is so.

mod add;
mod area;
mod bin;
mod edit;
mod labels;
mod lift;
mod tub;
mod typed;

use std::sync::Arc;

use askama::Template;
use axum::{
    Router,
    extract::{Path, State},
    routing::{get, post},
};

use super::{
    answer::{Page, Refusal},
    shell::{Place, Shell, Visitor},
    state::Desk,
};
use crate::{
    code::BinCode,
    job::{Floor, FloorArea, FloorSpot, count, floor},
    register::{Bin, Register, RegisterError, RunKind},
};
use add::AddForm;
use bin::FormName;
use tub::Tub;
pub(super) use typed::{RoomTexts, filled, fingerprint, of_field, require_seen};

/// The pages of this area.
pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/bins", get(page))
        .route("/bins/add", get(add::page).post(add::add))
        .route("/bins/added", get(add::added))
        .route("/areas/{number}", get(area::page))
        .route("/areas/{number}/name", post(area::rename))
        .route("/areas/{number}/order", post(area::order))
        .route("/areas/{number}/spots/name", post(area::rename_spot))
        .route("/areas/{number}/spots/order", post(area::order_spots))
        .route("/b/{code}", get(bin::page))
        .route("/b/{code}/place", post(|from, typed| edit::save(from, typed, FormName::Place, edit::place)))
        .route("/b/{code}/room", post(|from, typed| edit::save(from, typed, FormName::Room, edit::room)))
        .route("/b/{code}/area", post(|from, typed| edit::save(from, typed, FormName::Area, edit::area)))
        .route("/b/{code}/retire", post(|from, typed| edit::save(from, typed, FormName::Retire, edit::retire)))
        .route("/b/{code}/back", post(|from, typed| edit::save(from, typed, FormName::Retire, edit::back)))
        .route("/lift", get(lift::page))
}

/// Where a form was sent to, by whom, and of which bin or area.
type Sender = (State<Arc<Desk>>, Visitor, Path<String>);

#[derive(Debug, Template)]
#[template(path = "bins.html")]
struct BinsPage {
    shell: Shell,
    areas: Vec<AreaView>,
    retired: Vec<Bin>,
    /// Bins that no sign was printed for, as they stand in an address.
    unsigned: Vec<BinCode>,
    /// Shown where there are no bins yet.
    form: AddForm,
}

/// An area as its page and the overview show it.
#[derive(Debug)]
struct AreaView {
    number: u16,
    name: String,
    /// `12 bins, 87 items`
    counts: String,
    spots: Vec<SpotView>,
    loose: Vec<Tub>,
}

/// A spot and what stands there.
#[derive(Debug)]
struct SpotView {
    name: String,
    stacked: Vec<Vec<Tub>>,
    single: Vec<Tub>,
}

impl From<&FloorSpot> for SpotView {
    fn from(spot: &FloorSpot) -> Self {
        Self {
            name: spot.known.spot.name.clone(),
            stacked: spot.stacked.iter().map(|(_, bins)| bins.iter().map(Tub::from).collect()).collect(),
            single: spot.single.iter().map(Tub::from).collect(),
        }
    }
}

impl From<&FloorArea> for AreaView {
    fn from(area: &FloorArea) -> Self {
        let bins = area.bins().count() as u64;
        Self {
            number: area.area.number.get(),
            name: area.area.name.clone(),
            counts: format!("{}, {}", count(bins, "bin"), count(area.items(), "item")),
            spots: area.spots.iter().map(SpotView::from).collect(),
            loose: area.loose.iter().map(Tub::from).collect(),
        }
    }
}

/// Codes as they stand in an address: `4A+4B`
fn joined(codes: &[BinCode]) -> String {
    codes.iter().map(ToString::to_string).collect::<Vec<_>>().join("+")
}

impl BinsPage {
    fn unsigned_link(&self) -> String {
        format!("/labels?what=signs&codes={}", joined(&self.unsigned))
    }
}

struct Stock {
    floor: Floor,
    retired: Vec<Bin>,
    unsigned: Vec<BinCode>,
    form: AddForm,
}

fn stock(register: &Register) -> Result<Stock, RegisterError> {
    let unsigned = register.bins_without(RunKind::Signs)?.into_iter().map(|bin| bin.code).collect();
    let form = AddForm::empty(register)?;
    Ok(Stock { floor: floor(register)?, retired: register.retired_bins(None)?, unsigned, form })
}

async fn page(State(desk): State<Arc<Desk>>, visitor: Visitor) -> Result<Page<impl Template>, Refusal> {
    let Stock { floor, retired, unsigned, form } = desk.read(stock).await?;
    let areas = floor.areas.iter().map(AreaView::from).collect();
    Ok(Page(BinsPage { shell: visitor.shell(&desk, "Bins", Place::Bins), areas, retired, unsigned, form }))
}
