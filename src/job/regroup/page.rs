//! What is left of a plan of moves on paper, trip by trip, to be ticked.
//!
//! Start with [`print_moves`]. It is no run: nothing is remembered of it.

use std::collections::HashMap;

use super::{Plan, room::walk_key};
use crate::{
    code::BinCode,
    job::{
        ListPdf, RoundPage, RoundPageError, RoundPageOptions,
        round::place_in_area,
        round_page::{list_pdf, write_list},
    },
    label::{LIFTING, PickItem, PickList, PickStop},
    register::{Bin, Item, MoveState, Register, RegisterError, RegroupMove},
};

/// So many codes stand behind a box where things are put.
const CODES: usize = 8;

/// A move with its item.
type Planned<'a> = (&'a RegroupMove, &'a Item);

/// Writes the pages of what is left of a plan and gives their file.
///
/// # Errors
/// [`RoundPageError`]; no file is left then.
pub fn print_moves(register: &Register, plan: &Plan, options: &RoundPageOptions) -> Result<RoundPage, RoundPageError> {
    write_list(register, &list(register, plan, options)?, ("Moving list", "moves"), options)
}

/// The pages of what is left of a plan, of which no file is written.
///
/// # Errors
/// [`RoundPageError`].
pub fn moves_pdf(register: &Register, plan: &Plan, options: &RoundPageOptions) -> Result<ListPdf, RoundPageError> {
    list_pdf(register, &list(register, plan, options)?, "Moving list", options)
}

fn list(register: &Register, plan: &Plan, options: &RoundPageOptions) -> Result<PickList, RegisterError> {
    let mut bins = register.bins(None)?;
    bins.sort_by_key(walk_key);
    let trips = trips(plan).min().unwrap_or(1)..=plan.trips();
    let stops = trips.flat_map(|trip| of_trip(plan, trip, &bins));
    Ok(PickList {
        heading: "Moving list".into(),
        stops: stops.collect(),
        summary: format!("{}, {}", options.day, options.size),
        foot: LIFTING.into(),
    })
}

/// The trips on which something is left to be done.
fn trips(plan: &Plan) -> impl Iterator<Item = u32> {
    plan.kept.moves.iter().filter_map(|one| match one.state {
        MoveState::Open => Some(one.taken_on),
        MoveState::Taken => Some(one.put_on),
        _ => None,
    })
}

/// First all that is taken, then all that is put, both by bins in walking order.
fn of_trip(plan: &Plan, trip: u32, bins: &[Bin]) -> Vec<PickStop> {
    let takes = plan.in_state(MoveState::Open).filter(|(one, _)| one.taken_on == trip).collect();
    let puts = plan.moves().filter(|(one, _)| one.state.is_left() && one.put_on == trip).collect();
    let take = |bin: &Bin, moves: &[Planned<'_>]| stop(bin, (trip, "Take from"), moves.iter().map(taken).collect());
    let put = |bin: &Bin, moves: &[Planned<'_>]| stop(bin, (trip, "Put into"), put_rows(moves));
    [stops(bins, takes, |one| one.from, take), stops(bins, puts, |one| one.to, put)].concat()
}

fn stops(
    bins: &[Bin],
    moves: Vec<Planned<'_>>,
    at: fn(&RegroupMove) -> BinCode,
    stop: impl Fn(&Bin, &[Planned<'_>]) -> PickStop,
) -> Vec<PickStop> {
    let mut by_bin: HashMap<BinCode, Vec<Planned<'_>>> = HashMap::new();
    for planned in moves {
        by_bin.entry(at(planned.0)).or_default().push(planned);
    }
    let visited = bins.iter().filter_map(|bin| Some((bin, by_bin.get(&bin.code)?)));
    visited.map(|(bin, moves)| stop(bin, moves)).collect()
}

fn stop(bin: &Bin, (trip, doing): (u32, &str), items: Vec<PickItem>) -> PickStop {
    PickStop {
        bin: bin.code,
        part: format!("Trip {trip}"),
        section: format!("{doing}: {}", bin.place.area_name),
        place: place_in_area(&bin.place, bin.stack).unwrap_or_default(),
        items,
    }
}

fn taken((one, item): &Planned<'_>) -> PickItem {
    let aside = if one.is_held() { format!("for {}; into the holding box", one.to) } else { format!("for {}", one.to) };
    PickItem { code: item.code, title: item.title.clone(), aside }
}

/// What is in hand, and apart from it what waits in the holding box.
fn put_rows(moves: &[Planned<'_>]) -> Vec<PickItem> {
    let (held, in_hand): (Vec<Planned<'_>>, _) = moves.iter().copied().partition(|(one, _)| one.is_held());
    let rows = |moves: &[Planned<'_>], aside: &str| {
        let row = |some: &[Planned<'_>]| {
            let codes: Vec<String> = some.iter().map(|(_, item)| item.name()).collect();
            PickItem { code: None, title: codes.join(", "), aside: aside.to_owned() }
        };
        moves.chunks(CODES).map(row).collect::<Vec<_>>()
    };
    [rows(&in_hand, ""), rows(&held, "from the holding box")].concat()
}
