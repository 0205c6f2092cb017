//! An area: its name, its spots, and the order in which one walks past them.

use std::sync::Arc;

use askama::Template;
use axum::{
    Form,
    extract::{Path, State},
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    AreaView, Sender,
    typed::{of_field, require_seen},
};
use crate::{
    code::AreaNumber,
    desk::{
        answer::{Go, Page, Refusal},
        shell::{Place, Shell, Told, Visitor},
        state::Desk,
    },
    job::floor,
    register::{Register, RegisterError, Title},
};

/// Said of a name that is no new one.
const NAMED_SO: &str = "It has this name already.";

#[derive(Debug, Template)]
#[template(path = "area.html")]
struct AreaPage {
    shell: Shell,
    area: AreaView,
    /// All areas in walking order.
    order: Vec<(u16, String)>,
    /// Whether any area was given a place in the order.
    is_ordered: bool,
    typed: Option<String>,
    refused: Option<String>,
}

pub(super) async fn page(
    State(desk): State<Arc<Desk>>,
    visitor: Visitor,
    Path(number): Path<String>,
) -> Result<Page<impl Template>, Refusal> {
    Ok(Page(area_page(&desk, &visitor, number_of(&number)?).await?))
}

/// No area of that name in an address is no slip of the keyboard.
fn number_of(text: &str) -> Result<AreaNumber, Refusal> {
    text.parse().map_err(|_| Refusal::nothing("There is no such area."))
}

async fn area_page(desk: &Arc<Desk>, visitor: &Visitor, number: AreaNumber) -> Result<AreaPage, Refusal> {
    let floor = desk.read(floor).await?;
    let found = floor.areas.iter().find(|area| area.area.number == number);
    let area = found.map(AreaView::from).ok_or_else(|| Refusal::nothing(format!("There is no area {number}.")))?;
    let order = floor.areas.iter().map(|area| (area.area.number.get(), area.area.name.clone())).collect();
    Ok(AreaPage {
        shell: visitor.shell(desk, &area.name, Place::Bins),
        is_ordered: floor.areas.iter().any(|area| area.area.order.is_some()),
        area,
        order,
        typed: None,
        refused: None,
    })
}

/// Says on the area's page what was done, or why it was refused, with the name that was typed.
async fn answer(
    desk: &Arc<Desk>,
    visitor: &Visitor,
    number: AreaNumber,
    typed: Option<String>,
    told: Result<Told, Refusal>,
) -> Result<Response, Refusal> {
    match told {
        Ok(told) => {
            desk.tell(visitor.device.id, told);
            Ok(Go(format!("/areas/{number}")).into_response())
        }
        Err(refusal) => {
            let page = AreaPage { typed, refused: Some(refusal.text), ..area_page(desk, visitor, number).await? };
            Ok((refusal.status, Page(page)).into_response())
        }
    }
}

#[derive(Debug, Deserialize)]
pub(super) struct NameForm {
    #[serde(default)]
    name: String,
    /// The name that it had when the form was made.
    #[serde(default)]
    was: String,
}

/// Signs and strips show the name.
pub(super) async fn rename(
    (State(desk), visitor, Path(number)): Sender,
    Form(form): Form<NameForm>,
) -> Result<Response, Refusal> {
    let number = number_of(&number)?;
    let (name, was) = (form.name.clone(), form.was);
    let renamed = desk
        .change_noting(move |register| {
            let area = register.areas()?.into_iter().find(|area| area.number == number);
            let area = area.ok_or(RegisterError::UnknownArea(number))?;
            require_seen(&was, &area.name)?;
            of_field("Name", register.rename_area(number, &name))
        })
        .await;
    let told = renamed.map(|(before, change)| {
        let told = before.map(|before| {
            format!("It is called {} now, no longer {before}. Codes and tags stay as they are; signs and strips that were printed show the old name.", form.name.trim())
        });
        Told::done(told.as_deref().unwrap_or(NAMED_SO), change)
    });
    answer(&desk, &visitor, number, Some(form.name), told).await
}

/// Which way something goes in an order.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Way {
    Up,
    Down,
    /// Back to the order of numbers.
    Number,
}

/// Moves one by one place; the first and the last stay at their ends.
fn moved<T: PartialEq>(mut order: Vec<T>, one: &T, way: Way) -> Vec<T> {
    let at = order.iter().position(|other| other == one);
    let to = at.and_then(|at| match way {
        Way::Up => at.checked_sub(1),
        Way::Down => Some(at + 1).filter(|to| *to < order.len()),
        Way::Number => None,
    });
    if let (Some(at), Some(to)) = (at, to) {
        order.swap(at, to);
    }
    order
}

#[derive(Debug, Deserialize)]
pub(super) struct OrderForm {
    way: Way,
}

/// Moves an area in the walking order.
pub(super) async fn order(
    (State(desk), visitor, Path(number)): Sender,
    Form(form): Form<OrderForm>,
) -> Result<Go, Refusal> {
    let number = number_of(&number)?;
    let (_, change) = desk
        .change_noting(move |register| {
            let areas: Vec<AreaNumber> = register.areas()?.into_iter().map(|area| area.number).collect();
            let order = if matches!(form.way, Way::Number) { Vec::new() } else { moved(areas, &number, form.way) };
            register.order_areas(&order)
        })
        .await?;
    desk.tell(visitor.device.id, Told::done("Areas are walked past in this order now.", change));
    Ok(Go(format!("/areas/{number}#order")))
}

#[derive(Debug, Deserialize)]
pub(super) struct SpotForm {
    spot: String,
    #[serde(default)]
    name: String,
}

/// Strips show the name, and signs.
pub(super) async fn rename_spot(
    (State(desk), visitor, Path(number)): Sender,
    Form(form): Form<SpotForm>,
) -> Result<Response, Refusal> {
    let number = number_of(&number)?;
    let name = form.name.clone();
    let renamed = desk
        .change_noting(move |register| {
            let name = of_field("Name", Title::new(&name))?;
            Ok::<_, Refusal>(register.rename_spot(number, &form.spot, &name)?)
        })
        .await;
    let told = renamed.map(|(before, change)| {
        let told = before.map(|before| {
            format!("The spot {before} is called {} now. Its strip and the signs of its bins show the old name if they were printed.", form.name.trim())
        });
        Told::done(told.as_deref().unwrap_or(NAMED_SO), change)
    });
    answer(&desk, &visitor, number, None, told).await
}

#[derive(Debug, Deserialize)]
pub(super) struct SpotOrderForm {
    spot: String,
    way: Way,
}

/// Moves a spot in the walking order of its area.
pub(super) async fn order_spots(
    (State(desk), visitor, Path(number)): Sender,
    Form(form): Form<SpotOrderForm>,
) -> Result<Go, Refusal> {
    let number = number_of(&number)?;
    let ((), change) = desk.change_noting(move |register| move_spot(register, number, &form.spot, form.way)).await?;
    desk.tell(visitor.device.id, Told::done("Spots are walked past in this order now.", change));
    Ok(Go(format!("/areas/{number}#spots")))
}

fn move_spot(register: &mut Register, area: AreaNumber, spot: &str, way: Way) -> Result<(), RegisterError> {
    let names: Vec<String> = register.spots(Some(area))?.into_iter().map(|known| known.spot.name).collect();
    register.order_spots(area, &moved(names, &spot.to_owned(), way)).map(drop)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_moves_by_one_place_and_stays_at_the_ends() {
        let order = || vec!["a", "b", "c"];
        assert_eq!(moved(order(), &"b", Way::Up), ["b", "a", "c"]);
        assert_eq!(moved(order(), &"b", Way::Down), ["a", "c", "b"]);
        assert_eq!(moved(order(), &"a", Way::Up), order());
        assert_eq!(moved(order(), &"c", Way::Down), order());
        assert_eq!(moved(order(), &"d", Way::Up), order());
    }
}
