//! `stowmark desk`

use serde_json::json;

use super::{
    outcome::{CliError, Outcome},
    session::Session,
};
use crate::{
    desk::{DeskOptions, OpenDesk},
    symbol::Symbol,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "The desk is the same program as pages in the browser. It listens on this computer alone, and a
browser sees nothing until it is paired: follow the link that is written here, once. With --share
phones on the same network can be paired as well, by the QR code that is shown here and on the
devices page. What they say to each other is not encrypted: use a network that you trust.

Ctrl+C ends it. With --json its addresses are one document, and nothing else is written.

Example:
  stowmark desk --open
  stowmark desk --open --share")]
pub(super) struct DeskArgs {
    /// The port, 0 for any; else the first free one from 4760 on
    #[arg(long, value_name = "N")]
    port: Option<u16>,
    /// Open it in the browser
    #[arg(long)]
    open: bool,
    /// Listen on the local network as well, for phones that are paired
    #[arg(long)]
    share: bool,
    /// Another name of this computer on its network, such as loft-pc.local
    #[arg(long, value_name = "HOST", requires = "share")]
    name: Vec<String>,
}

pub(super) fn run(args: &DeskArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.take_register()?;
    let options =
        DeskOptions { port: args.port, share: args.share, names: args.name.clone(), ..DeskOptions::default() };
    let desk = OpenDesk::open(register, &options)?;
    let (link, phone) = (desk.link()?, desk.phone_link()?);
    let json = json!({ "address": desk.address(), "link": link, "phone": phone });
    session.answer(&json, || text(&link, phone.as_deref()))?;
    if args.open && open::that_detached(&link).is_err() {
        session.note("no browser could be opened; follow the link yourself")?;
    }
    let register = desk.serve()?;
    session.give_back(register);
    session.say("the desk is closed")?;
    Ok(Outcome::Done)
}

fn text(link: &str, phone: Option<&str>) -> String {
    let here = format!(
        "The desk is open. Follow this link in a browser on this computer, once, within ten minutes:\n  {link}"
    );
    let there = phone
        .map(|phone| format!("\n\nA phone on the same network is paired by this code:\n{}  {phone}", blocks(phone)));
    format!("{here}{}\n\nCtrl+C ends it.", there.unwrap_or_default())
}

/// A QR code in half blocks, light on dark as terminals mostly are, with its quiet zone.
fn blocks(text: &str) -> String {
    let Ok(symbol) = Symbol::qr(text) else { return String::new() };
    let Symbol::Matrix(matrix) = &symbol else { return String::new() };
    let (side, quiet) = (matrix.side(), symbol.quiet_modules() as usize);
    let is_light = |column: usize, row: usize| {
        let inside = (quiet..side + quiet).contains(&column) && (quiet..side + quiet).contains(&row);
        !(inside && matrix.is_dark(column - quiet, row - quiet))
    };
    let whole = side + 2 * quiet;
    let line = |row: usize| {
        let cell = |column| match (is_light(column, row), row + 1 < whole && is_light(column, row + 1)) {
            (true, true) => '█',
            (true, false) => '▀',
            (false, true) => '▄',
            (false, false) => ' ',
        };
        format!("  {}\n", (0..whole).map(cell).collect::<String>())
    };
    (0..whole).step_by(2).map(line).collect()
}
