//! `stowmark bin room`, and what is said of where an import goes

use std::path::PathBuf;

use serde_json::{Value, json};

use super::{
    fullness,
    import::asked,
    outcome::{CliError, Outcome},
    room_args::BulkArgs,
    session::Session,
    table::{count, place_text, table},
};
use crate::{
    exchange::{
        DateOrder,
        room_json::{FilledBinJson, WaitingJson},
    },
    job::{Fill, ImportError, ImportOptions, Placement, Placing, RoomFor, RoomWarning, Waiting, draft, room_for},
    plan::Load,
    register::Bin,
    unit::Weight,
};

pub(super) const HELP: &str = "\
The bin with the least room left that still takes the item comes first; volume, weight limit and
the diagonal count. What is not known of an item is assumed, and that is said. With --import the
new items of a file are placed, the largest first; --together keeps them in as few bins as it can.
Nothing is changed.

Example:
  stowmark bin room --litres 2.5
  stowmark bin room --measures 30x20x10 --grams 850
  stowmark bin room --import buys.csv --together";

#[derive(Debug, clap::Args)]
pub(super) struct RoomQuery {
    #[command(flatten)]
    bulk: BulkArgs,
    /// Place the new items of this file instead
    #[arg(long, value_name = "FILE", conflicts_with_all = ["litres", "measures", "size", "grams"])]
    import: Option<PathBuf>,
    /// Keep them in as few bins as it can
    #[arg(long, requires = "import")]
    together: bool,
    /// The heading of a field of the file, as `item import` has it
    #[arg(long, value_name = "FIELD=HEADING", requires = "import")]
    map: Vec<String>,
}

/// More warnings would push the answer off the screen.
const MOST_WARNINGS: usize = 10;
/// Bins that are named for one item, and items that find no bin.
const NAMED: usize = 6;

pub(super) fn run(query: &RoomQuery, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    if let Some(file) = &query.import {
        return place_import(file, query, session);
    }
    let register = session.register()?;
    let bulk = query.bulk.bulk(register)?;
    let found = room_for(register, &bulk)?.ok_or(CliError::NoVolumes)?;
    let shown = &found.bins[..found.bins.len().min(NAMED)];
    let json = json!({ "bins": shown.iter().map(filled_json).collect::<Vec<_>>(), "item": item_json(&found) });
    session.answer(&json, || text(&found, shown))?;
    Ok(if found.bins.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

fn item_json(found: &RoomFor) -> Value {
    let load = &found.load;
    json!({
        "litres": f64::from(load.millilitres) / 1000.0,
        "grams": (load.grams > 0).then_some(load.grams),
        "size_assumed": load.volume_is_assumed,
        "weight_assumed": load.weight_is_assumed,
    })
}

fn filled_json((bin, fill): &(Bin, Fill)) -> FilledBinJson {
    FilledBinJson::new(bin, fullness::json(&bin.room, fill))
}

fn text(found: &RoomFor, shown: &[(Bin, Fill)]) -> String {
    let takes = load_text(&found.load);
    if shown.is_empty() {
        return format!("no bin has room for it: {takes}");
    }
    let has_limit = shown.iter().any(|(bin, _)| bin.room.max_weight.is_some());
    let rows = shown.iter().map(|(bin, fill)| {
        let [full, litres, kg] = fullness::cells(&bin.room, Some(fill));
        without_kg([bin.code.to_string(), full, litres, kg, place_text(&bin.place)], 3, has_limit)
    });
    let more = found.bins.len() - shown.len();
    let more = if more > 0 { format!("\n{} more would take it", count(more as u64, "bin")) } else { String::new() };
    format!("{takes}; with it in, the best fit first:\n\n{}{more}", table(&without_kg(HEADINGS, 3, has_limit), rows))
}

/// `2.5 l, 850 g (assumed)`
fn load_text(load: &Load) -> String {
    let assumed = |is_assumed: bool| if is_assumed { " (assumed)" } else { "" };
    let volume = format!("{} l{}", f64::from(load.millilitres) / 1000.0, assumed(load.volume_is_assumed));
    let weight = Weight::from_grams(load.grams.into());
    let weight = weight.map(|weight| format!(", {weight}{}", assumed(load.weight_is_assumed)));
    volume + &weight.unwrap_or_default()
}

const HEADINGS: [&str; 5] = ["bin", "full#", "litres#", "kg#", "where"];
/// The column of weights is for bins with a limit.
fn without_kg<T, const N: usize>(row: [T; N], kg: usize, has_limit: bool) -> Vec<T> {
    row.into_iter().enumerate().filter(|(at, _)| has_limit || *at != kg).map(|(_, cell)| cell).collect()
}

fn place_import(file: &std::path::Path, query: &RoomQuery, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let options = ImportOptions {
        file: file.to_owned(),
        placement: if query.together { Placement::Together } else { Placement::BestFit },
        again: true,
        columns: asked(&query.map)?,
        // Dates have no say in it.
        dates: Some(DateOrder::DayFirst),
        ..ImportOptions::default()
    };
    let draft = draft(session.register()?, &options).map_err(|fault| match fault {
        ImportError::Rows { path, refused, .. } => ImportError::Unplaced { path, refused },
        other => other,
    })?;
    let is_nothing_new = draft.new.iter().all(|item| item.bin.is_some()) && draft.placing.is_none();
    let placing = if is_nothing_new { Placing::default() } else { draft.placing.ok_or(CliError::NoVolumes)? };
    session.answer(&placing_json(&placing), || placing_text(&placing))?;
    Ok(if placing.bins.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

/// The bins that items of a file come into, how many, and how full they are then.
pub(super) fn placing_json(placing: &Placing) -> Value {
    let bin = |placed: &crate::job::PlacedBin| {
        let fill = fullness::json(&placed.bin.room, &placed.fill);
        json!({ "bin": placed.bin.code.to_string(), "came": placed.came, "fill": fill })
    };
    json!({
        "bins": placing.bins.iter().map(bin).collect::<Vec<_>>(),
        "waiting": placing.waiting.len(),
        "waiting_items": placing.waiting.iter().map(waiting_json).collect::<Vec<_>>(),
        "sizes_assumed": placing.sizes_assumed,
        "weights_assumed": placing.weights_assumed,
    })
}

fn waiting_json(item: &Waiting) -> WaitingJson<'_> {
    WaitingJson { title: &item.title, why: item.lack.words() }
}

/// The same for people.
pub(super) fn placing_text(placing: &Placing) -> String {
    if placing.items == 0 {
        return "no new item of the file is without a bin".into();
    }
    let has_limit = placing.bins.iter().any(|placed| placed.bin.room.max_weight.is_some());
    let rows = placing.bins.iter().map(|placed| {
        let [full, litres, kg] = fullness::cells(&placed.bin.room, Some(&placed.fill));
        without_kg([placed.bin.code.to_string(), placed.came.to_string(), full, litres, kg], 4, has_limit)
    });
    let mut lines = Vec::new();
    if !placing.bins.is_empty() {
        lines.push(format!(
            "How full bins are with the new items:\n{}",
            table(&without_kg(["bin", "new#", "full#", "litres#", "kg#"], 4, has_limit), rows)
        ));
    }
    lines.extend(fullness::assumed(placing.items, placing.sizes_assumed, placing.weights_assumed));
    lines.extend(waiting_text(&placing.waiting));
    lines.join("\n")
}

/// `2 items fit into no bin and wait: Wok (too heavy), Rolling pin (too long)`
fn waiting_text(waiting: &[Waiting]) -> Option<String> {
    let head = match waiting.len() {
        0 => return None,
        1 => "1 item fits into no bin and waits".to_owned(),
        many => format!("{many} items fit into no bin and wait"),
    };
    let mut named: Vec<String> =
        waiting.iter().take(NAMED).map(|item| format!("\n  {}: {}", item.title, item.lack.words())).collect();
    let more = waiting.len() - named.len();
    named.extend((more > 0).then(|| format!("\n  … and {more} more")));
    Some(format!("{head}:{}", named.concat()))
}

/// An answer with what is said of bins that things were put into, if there is anything to be said.
pub(super) fn with_warnings(mut answer: Value, warnings: &[RoomWarning]) -> Value {
    if !warnings.is_empty() {
        answer["warnings"] = json!(warnings.iter().map(ToString::to_string).collect::<Vec<_>>());
    }
    answer
}

impl Session<'_, '_> {
    /// Says what is said of bins beside the answer; with `--json` it stands in there.
    pub(super) fn warn(&mut self, warnings: &[RoomWarning]) -> Result<(), CliError> {
        if self.json() {
            return Ok(());
        }
        warnings.iter().take(MOST_WARNINGS).try_for_each(|warning| self.note(&format!("warning: {warning}")))?;
        match warnings.len().saturating_sub(MOST_WARNINGS) {
            0 => Ok(()),
            more => self.note(&format!(
                "and {}; `stowmark bin list` shows how full bins are",
                count(more as u64, "more warning")
            )),
        }
    }
}
