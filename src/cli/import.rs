//! `stowmark item import`

use std::path::PathBuf;

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
    table::{count, item_line, items_json},
};
use crate::{
    exchange::{RefusedRow, json::RefusedJson},
    job::{ImportOptions, Imported, bin_by_text, import, row_text},
};

pub(super) const HELP: &str =
    "The first line holds the headings: `title` (or item, description, name), and where you have them
`bought` (date, purchase date), `cost` (paid, purchase price) and `asking` (list price), in any
order; other columns are left alone. Commas, semicolons or tabs, UTF-8, UTF-16 or Windows-1252.

Either all rows come in or none; every bad row is listed with its line.

Example:
  stowmark item import buys.csv --bin 4A
  stowmark item import buys.csv --bin 4A --skip-bad";

#[derive(Debug, clap::Args)]
pub(super) struct ImportArgs {
    /// The file
    file: PathBuf,
    /// The bin that all of it goes into; without one the items wait
    #[arg(long, value_name = "CODE")]
    bin: Option<String>,
    /// Take the good rows and put the others into a file beside this one
    #[arg(long)]
    skip_bad: bool,
    /// Take the file although it was imported before
    #[arg(long)]
    again: bool,
}

/// New items that are named one by one; of more only the first few are.
const NAMED: usize = 10;

pub(super) fn run(args: &ImportArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let currency = session.settings()?.currency;
    let register = session.register_for_change()?;
    let bin = args.bin.as_deref().map(|bin| bin_by_text(register, bin)).transpose()?.map(|bin| bin.code);
    let options = ImportOptions { file: args.file.clone(), bin, skip_bad: args.skip_bad, again: args.again };
    let imported = import(register, &options)?;
    if !imported.unread.is_empty() {
        session.note(&format!("not read, their headings are not known: {}", imported.unread.join(", ")))?;
    }
    for row in &imported.refused {
        session.note(&row_text(&args.file, row))?;
    }
    let json = json!({
        // Not made of a hundred thousand items when nobody asked.
        "items": items_json(if session.json() { &imported.items } else { &[] }, &currency),
        "refused": refused_json(&imported.refused),
        "unread": imported.unread,
        "refused_file": imported.refused_file.as_ref().map(|file| file.display().to_string()),
    });
    session.answer(&json, || text(&imported))?;
    Ok(Outcome::Done)
}

fn text(imported: &Imported) -> String {
    let items = &imported.items;
    let mut lines: Vec<String> = items.iter().take(NAMED).map(item_line).collect();
    if items.len() > NAMED {
        lines.push(format!("… and {} more", items.len() - NAMED));
    }
    lines.push(format!("{} came in; `stowmark tag` prints their tags", count(items.len() as u64, "item")));
    if let Some(file) = &imported.refused_file {
        let rows = count(imported.refused.len() as u64, "row");
        lines.push(format!("{rows} left out; mend and import {}", file.display()));
    }
    lines.join("\n")
}

pub(super) fn refused_json(refused: &[RefusedRow]) -> Vec<RefusedJson> {
    let row = |row: &RefusedRow| RefusedJson { line: row.line, column: row.column, reason: row.reason.clone() };
    refused.iter().map(row).collect()
}
