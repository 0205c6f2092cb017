//! `stowmark pick` and `stowmark picked`

use std::path::PathBuf;

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    print_args::paper,
    session::Session,
    sold::{note_ahead, today},
    table::{count, short, table},
    values::date,
};
use crate::{
    exchange::{
        json::ItemJson,
        sale_json::{PickJson, RoundJson},
    },
    job::{
        NOTHING_TO_PICK as NOTHING, RoundPageOptions, Stop, fonts_of, items_by_text, print_round, round, round_size,
    },
    register::{Item, ItemFilter, Pick, Status},
    unit::Currency,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "All that is sold and not yet picked, bin by bin in the order in which you walk: areas by `area
order` or else by number, spots by `spot order`, stacks from the top (`bin edit --stack`), then
bins. Where you stand is not known, so no way is made shorter than that.

With --scan each item is confirmed by scanning its tag; the wrong one is refused, and `undo`
takes the last one back. With --json each answer is one line.

Example:
  stowmark pick
  stowmark pick --print --paper letter
  stowmark pick --scan")]
pub(super) struct PickArgs {
    /// Confirm each item with a reader
    #[arg(long, conflicts_with = "print")]
    scan: bool,
    /// Write a page with boxes to tick
    #[arg(long)]
    print: bool,
    /// The page's file; else one named by the day, in the current folder
    #[arg(long, value_name = "FILE.pdf", requires = "print")]
    out: Option<PathBuf>,
    /// A font file for letters that the bundled faces lack; it is remembered
    #[arg(long, value_name = "FILE", requires = "print")]
    font: Vec<PathBuf>,
    /// The paper, a4 or letter; else the one that is set
    #[arg(long, requires = "print")]
    paper: Option<String>,
    /// Replace a file that is there
    #[arg(long, requires = "print")]
    force: bool,
}

#[derive(Debug, clap::Args)]
#[command(after_help = "Items leave their bins with it. `stowmark pick --scan` does the same with a reader.

Example:
  stowmark picked 4A-001F 4A-003M
  stowmark picked --all")]
pub(super) struct PickedArgs {
    /// Codes of items
    #[arg(required_unless_present = "all", value_name = "CODE")]
    codes: Vec<String>,
    /// All that is sold and not yet picked
    #[arg(long, conflicts_with = "codes")]
    all: bool,
    /// When; else today
    #[arg(long, value_name = "DATE", allow_hyphen_values = true)]
    on: Option<String>,
}

pub(super) fn run(args: &PickArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    if args.scan {
        return super::pick_scan::run(session);
    }
    let currency = session.settings()?.currency;
    let stops = round(session.register()?)?;
    if stops.is_empty() {
        session.answer(&json!({ "round": [] }), || NOTHING.into())?;
        return Ok(Outcome::NothingFound);
    }
    if args.print {
        return print(args, &stops, session);
    }
    let json = round_json(&stops, &currency);
    session.answer(&json!({ "round": json }), || round_table(&stops))?;
    Ok(Outcome::Done)
}

fn print(args: &PickArgs, stops: &[Stop], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let paper = args.paper.as_deref().map(paper).transpose()?;
    let (day, size) = (today(), round_size(stops));
    let register = session.register_for_change()?;
    let fonts = fonts_of(register, &args.font)?;
    let (out, force) = (args.out.clone(), args.force);
    let options = RoundPageOptions { paper, fonts, out, force, day, size: size.clone() };
    let page = print_round(register, stops, &options)?;
    for warning in &page.warnings {
        session.note(&warning.to_string())?;
    }
    let (file, pages) = (page.file.display().to_string(), page.pages);
    let json = round_json(stops, &session.settings()?.currency);
    session.answer(&json!({ "round": json, "file": file, "pages": pages }), || {
        format!("{size} on {}: {file}", count(pages as u64, "page"))
    })?;
    Ok(Outcome::Done)
}

fn round_json(stops: &[Stop], currency: &Currency) -> Vec<RoundJson> {
    let item = |stop: usize| move |item: &Item| RoundJson { item: ItemJson::new(item, currency), stop };
    stops.iter().flat_map(|stop| stop.items.iter().map(item(stop.number))).collect()
}

/// Bin and place stand on the first row of a stop only.
fn round_table(stops: &[Stop]) -> String {
    let row = |stop: &Stop, at: usize, item: &Item| {
        let head = if at == 0 { head(stop) } else { vec![String::new(); 3] };
        let order = item.sold.as_ref().and_then(|sold| sold.order.clone()).unwrap_or_default();
        [head, vec![item.name(), short(&item.title), order]].concat()
    };
    let rows = stops.iter().flat_map(|stop| stop.items.iter().enumerate().map(move |(at, item)| row(stop, at, item)));
    let headings = ["stop#", "bin", "where", "code", "title", "order"];
    format!("{}\n{}", table(&headings, rows), round_size(stops))
}

fn head(stop: &Stop) -> Vec<String> {
    let parts: Vec<String> = [Some(stop.place.area_name.clone()), stop.spot_text()].into_iter().flatten().collect();
    vec![stop.number.to_string(), stop.bin.to_string(), parts.join(", ")]
}

pub(super) fn picked(args: &PickedArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let day = date("--on", args.on.as_deref())?.unwrap_or_else(today);
    let register = session.register_for_change()?;
    let items = if args.all {
        register.items(&ItemFilter { states: vec![Status::Sold], ..ItemFilter::default() })?
    } else {
        items_by_text(register, &args.codes)?
    };
    let (picks, _) = register.pick_items(&items, day)?;
    note_ahead(day, session)?;
    let json: Vec<PickJson> = picks.iter().map(PickJson::from).collect();
    session.answer(&json!({ "picked": json }), || {
        let line = |(pick, item): (&Pick, &Item)| format!("{}  {}: picked from {}", pick.name, item.title, pick.from);
        if picks.is_empty() {
            NOTHING.into()
        } else {
            picks.iter().zip(&items).map(line).collect::<Vec<_>>().join("\n")
        }
    })?;
    Ok(if picks.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}
