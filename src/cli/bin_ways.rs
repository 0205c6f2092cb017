//! `stowmark bin move`, `retire` and `change-area`: what happens to bins themselves

use serde_json::json;

use super::{
    bin::{answer_bins, edit_named},
    outcome::{CliError, Outcome},
    session::Session,
    table::{place_text, table},
    values::change,
};
use crate::{
    code::{AreaNumber, BinCode},
    exchange::json::BinJson,
    job::{BinsEdited, bin_by_text, listed, place_in_stack},
    register::{AreaChange, Bin, BinEdit, Register, Title},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Items keep their codes, and no tag changes: a scan finds the new place. Only the signs of these bins
and the strips of the spots show the old one; `stowmark stale` lists what is wrong.

Example:
  stowmark bin move 4A --spot \"rack 2, level 1\"
  stowmark bin move 4A 4B --spot \"rack 2\" --stack 1"
)]
pub(super) struct MoveArgs {
    /// Codes of bins
    #[arg(required = true, value_name = "CODE")]
    codes: Vec<String>,
    /// Where in their area they stand from now on, or none
    #[arg(long, value_name = "TEXT")]
    spot: String,
    /// Their place in the stack there from the top, 1 to 99
    #[arg(long, value_name = "N")]
    stack: Option<String>,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "Only an empty bin can be retired. Its code and the codes of its items are never given again, its
spot is free, and nothing can be put into it. `stowmark bin list --retired` shows those that are.

Example:
  stowmark bin retire 4A 4B
  stowmark bin retire 4A --back"
)]
pub(super) struct RetireArgs {
    /// Codes of bins
    #[arg(required = true, value_name = "CODE")]
    codes: Vec<String>,
    /// Take them into use again, at no spot yet
    #[arg(long)]
    back: bool,
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The bin gets the next letters of the other area. Its old code stays a name of it for ever: its sign
and the tags of its items go on being found. Items keep their codes, and new ones go on where the
bin has counted to.

Example:
  stowmark bin change-area 4A 7
  stowmark bin change-area 4A 7 --spot \"shelf 2\""
)]
pub(super) struct ChangeAreaArgs {
    /// The code of the bin
    code: String,
    /// The number of the area that it goes to
    area: String,
    /// Where it stands there
    #[arg(long, value_name = "TEXT")]
    spot: Option<String>,
}

pub(super) fn move_to(args: &MoveArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let edit = BinEdit {
        spot: change(Some(&args.spot), Title::new)?,
        stack: change(args.stack.as_deref(), place_in_stack)?,
        ..BinEdit::default()
    };
    let edited = edit_named(&args.codes, &edit, session)?;
    answer_bins(&edited.after, session)?;
    let is_moved = edited.moved().next().is_some();
    let told = match restacked_text(&edited.restacked().collect::<Vec<_>>()) {
        Some(text) if !is_moved => text,
        Some(text) => format!("{}\n{text}", outdated(&edited)),
        None => outdated(&edited),
    };
    session.say(&format!("\n{told}"))?;
    Ok(Outcome::Done)
}

/// What is said of bins that stay at their spot with another place in the stack there.
fn restacked_text(bins: &[&Bin]) -> Option<String> {
    let codes = codes_text(bins.iter().copied());
    let (stands, has) = if bins.len() == 1 { ("stands", "has") } else { ("stand", "have") };
    let place = bins.first()?.stack.map_or("no place".to_owned(), |place| format!("place {place}"));
    Some(format!("{codes} {stands} at the same spot and {has} {place} in the stack now"))
}

/// What shows an old place now.
fn outdated(edited: &BinsEdited) -> String {
    let codes: Vec<String> = edited.moved().map(|(_, bin)| bin.code.to_string()).collect();
    if codes.is_empty() {
        return "they stand there already".into();
    }
    let spots: Vec<String> = edited.spots().into_iter().map(|spot| format!("`{spot}`")).collect();
    let strips = if spots.is_empty() { String::new() } else { format!(" and strips of {}", listed(&spots)) };
    format!(
        "nothing needs a new tag: items keep their codes, and a scan finds the new place\n\
         signs of {}{strips} that were printed before are wrong now: `stowmark stale` lists them",
        listed(&codes)
    )
}

/// `4A, 4B and 4C`
fn codes_text<'b>(bins: impl Iterator<Item = &'b Bin>) -> String {
    listed(&bins.map(|bin| bin.code.to_string()).collect::<Vec<_>>())
}

/// The bins that were named, each once.
fn named(register: &Register, codes: &[String]) -> Result<Vec<BinCode>, CliError> {
    let mut bins = Vec::with_capacity(codes.len());
    for code in codes {
        let code = bin_by_text(register, code)?.code;
        if !bins.contains(&code) {
            bins.push(code);
        }
    }
    Ok(bins)
}

pub(super) fn retire(args: &RetireArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let codes = named(register, &args.codes)?;
    let before = codes.iter().map(|code| register.bin(*code)).collect::<Result<Vec<_>, _>>()?;
    let bins = if args.back { register.use_bins_again(&codes)? } else { register.retire_bins(&codes)? };
    let json = json!({ "bins": bins.iter().map(BinJson::from).collect::<Vec<_>>() });
    session.answer(&json, || if args.back { used_text(&before) } else { retired_text(&bins) })?;
    Ok(Outcome::Done)
}

/// What is said of bins that come into use again, as they were before.
fn used_text(before: &[Bin]) -> String {
    let (back, there): (Vec<&Bin>, Vec<&Bin>) = before.iter().partition(|bin| bin.retired.is_some());
    let codes = |bins: &[&Bin]| codes_text(bins.iter().copied());
    let is = |bins: &[&Bin]| if bins.len() == 1 { "is" } else { "are" };
    let mut lines = Vec::new();
    if let Some(first) = back.first() {
        let (they, all) =
            if back.len() == 1 { ("it stands", String::new()) } else { ("they stand", " …".to_owned()) };
        let say = format!("say where {they} with `stowmark bin move {}{all} --spot \"rack 1\"`", first.code);
        lines.push(format!("{} {} in use again; {say}", codes(&back), is(&back)));
    }
    if !there.is_empty() {
        lines.push(format!("{} {} in use already", codes(&there), is(&there)));
    }
    lines.join("\n")
}

fn retired_text(bins: &[Bin]) -> String {
    let codes = codes_text(bins.iter());
    match bins.len() {
        1 => format!(
            "{codes} is retired: nothing goes into it any more, and no code of it is given again; take the sign off"
        ),
        _ => format!(
            "{codes} are retired: nothing goes into them any more, and no code of them is given again; take the signs off"
        ),
    }
}

pub(super) const RETIRED: [&str; 3] = ["bin", "retired", "area"];

/// `bin list --retired`
pub(super) fn answer_retired(bins: &[Bin], session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let json = json!({ "bins": bins.iter().map(BinJson::from).collect::<Vec<_>>() });
    session.answer(&json, || match bins {
        [] => "no retired bins".into(),
        bins => table(&RETIRED, bins.iter().map(retired_row)),
    })?;
    Ok(Outcome::Done)
}

pub(super) fn retired_row(bin: &Bin) -> Vec<String> {
    let since = bin.retired.map(|day| day.to_string()).unwrap_or_default();
    vec![bin.code.to_string(), since, bin.place.area_name.clone()]
}

pub(super) fn change_area(args: &ChangeAreaArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let area: AreaNumber = args.area.parse()?;
    let spot = args.spot.as_deref().map(Title::new).transpose()?;
    let register = session.register_for_change()?;
    let bin = bin_by_text(register, &args.code)?;
    let changed = register.change_area(bin.code, area, spot.as_ref())?;
    let old_codes: Vec<String> = register.former_codes(&changed.bin)?.iter().map(ToString::to_string).collect();
    let json = json!({
        "from": changed.from.to_string(), "bin": BinJson::with_codes(&changed.bin, &old_codes), "tags": changed.tags,
    });
    session.answer(&json, || changed_text(&changed))?;
    Ok(Outcome::Done)
}

fn changed_text(AreaChange { from, bin, tags }: &AreaChange) -> String {
    let code = bin.code;
    let stay = match bin.items {
        0 => "it is empty".to_owned(),
        1 => "1 item stays in it".to_owned(),
        items => format!("{items} items stay in it"),
    };
    let tags = match tags {
        0 => String::new(),
        1 => format!("; 1 tag shows another code, and goes on being found: {}", only_if_wanted(code)),
        tags => format!("; {tags} tags show other codes, and go on being found: {}", only_if_wanted(code)),
    };
    format!(
        "{from} is {code} now, in {}; {from} stays a name of it for ever, so a scan of its old sign finds it\n{stay}{tags}\n\
         its sign is wrong now: `stowmark sign {code}` prints the new one",
        place_text(&bin.place)
    )
}

fn only_if_wanted(code: BinCode) -> String {
    format!("`stowmark retag --bin {code}` gives new codes only if you want them")
}
