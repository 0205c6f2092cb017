//! `stowmark proof`

use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::{
    outcome::{CliError, Outcome},
    progress::Bar,
    session::Session,
    table::{count, table},
};
use crate::{
    exchange::json::{FigureJson, KindJson},
    job::{FileProof, KnownSymbol, proof_file},
    proof::{Fault, Figures, KindReport, Report},
    register::RunId,
    unit::Dpi,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Draws each page as the printer would and reads every symbol: that it says what the register
knows, and that each of its dots is where it should be. Each kind of symbol is then put through
simulated prints with spreading ink, blur, noise and a tilt. A letter from A to F is the
program's estimate after ISO/IEC 15416 and 15415, without contrast, which hangs on your ink and
paper: no verifier's grade. A file that no run of this register printed is searched for symbols.

Example:
  stowmark proof tags-0002.pdf
  stowmark proof tags-0002.pdf --dpi 203")]
pub(super) struct ProofArgs {
    /// A PDF that was printed to
    #[arg(value_name = "FILE.pdf")]
    file: PathBuf,
    /// Draw it at this resolution in dots per inch; else that of the run, or 300
    #[arg(long, value_name = "N")]
    dpi: Option<String>,
}

/// More of them would push the answer off the screen.
const MOST_LINES: usize = 20;
/// Stands below every letter.
const ESTIMATE: &str = "Letters are estimates from simulated prints, no verifier's grade.";

pub(super) fn run(args: &ProofArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let dpi = args.dpi.as_deref().map(str::parse::<Dpi>).transpose()?;
    let bar = Bar::new(session, "proof");
    let proof = proof_file(session.register()?, &args.file, dpi, &bar)?;
    drop(bar);
    match proof {
        FileProof::OfRun { run, pages, dpi, report } => of_run(&args.file, run, pages, dpi, &report, session),
        FileProof::Foreign { pages, dpi, found } => foreign(&args.file, pages, dpi, &found, session),
    }
}

fn of_run(
    file: &Path,
    run: RunId,
    pages: usize,
    dpi: Dpi,
    report: &Report,
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let mut json = report_json(report);
    json["file"] = file.display().to_string().into();
    json["run"] = json!(run);
    session.answer(&json, || {
        let (symbols, pages) = (count(report.symbols as u64, "symbol"), count(pages as u64, "page"));
        format!("run {run}: {symbols} on {pages}, drawn at {dpi}\n{}", report_text(report))
    })?;
    match report.faults.len() {
        0 => Ok(Outcome::Done),
        faults => Err(CliError::Proved { file: file.to_owned(), faults, symbols: report.symbols }),
    }
}

/// What the proof of a run that is printed says in JSON.
pub(super) fn proof_json(report: &Report) -> Value {
    let kinds: Vec<KindJson> = report.kinds.iter().map(kind_json).collect();
    json!({ "symbols": report.symbols, "kinds": kinds, "estimate": true })
}

/// The same for people, on a line.
pub(super) fn proved_text(report: &Report) -> String {
    let kind = |kind: &KindReport| format!("{} for {} at {:.2} mm", kind.letter, kind.kind, kind.x.0);
    let kinds: Vec<String> = report.kinds.iter().map(kind).collect();
    let symbols =
        if report.symbols == 1 { "its symbol was".into() } else { format!("all {} symbols were", report.symbols) };
    format!("{symbols} read back from the file; estimated {} (no verifier's grade)", kinds.join(", "))
}

/// What a report says in JSON; the file and the run are the caller's.
fn report_json(report: &Report) -> Value {
    json!({
        "file": null,
        "run": null,
        "symbols": report.symbols,
        "faults": report.faults.iter().map(fault_json).collect::<Vec<_>>(),
        "kinds": report.kinds.iter().map(kind_json).collect::<Vec<_>>(),
        "estimate": true,
    })
}

fn fault_json(fault: &Fault) -> Value {
    let expected = &fault.expected;
    json!({
        "page": expected.page,
        "slot": expected.slot,
        "kind": expected.kind,
        "payload": expected.text,
        "read": fault.wrong.read(),
        "reason": fault.to_string(),
    })
}

fn kind_json(kind: &KindReport) -> KindJson {
    let figure = |name, value| FigureJson { name, value };
    let mut figures: Vec<FigureJson> = figures(kind).into_iter().map(|(name, value)| figure(name, value)).collect();
    figures.push(figure("quiet_zone_modules", kind.quiet_zone));
    KindJson {
        kind: kind.kind,
        x_dimension_mm: kind.x,
        modules: kind.modules,
        symbols: kind.symbols,
        letter: kind.letter,
        figures,
        read: kind.read,
        prints: KindReport::PRINTS,
    }
}

fn figures(kind: &KindReport) -> Vec<(&'static str, f64)> {
    match kind.figures {
        Figures::Linear(of) => {
            vec![("modulation", of.modulation), ("decodability", of.decodability), ("defects", of.defects)]
        }
        Figures::Matrix(of) => {
            vec![("modulation", of.modulation), ("unused_error_correction", of.unused_error_correction)]
        }
    }
}

/// Faults line by line, or a table of the kinds.
fn report_text(report: &Report) -> String {
    let faults = report.faults.iter().take(MOST_LINES).map(ToString::to_string);
    let more = report.faults.len().saturating_sub(MOST_LINES);
    let more = (more > 0).then(|| format!("… and {more} more; --json has all"));
    let right = match (report.faults.len(), report.symbols) {
        (_, 0) => "there is no symbol on these labels".to_owned(),
        (0, _) if report.every_dot => "every one says what it should, and each of its dots is in its place".to_owned(),
        (0, _) => "every one says what it should".to_owned(),
        (wrong, all) => format!("{} of {all} are as they should be", all - wrong),
    };
    let kinds = (!report.kinds.is_empty()).then(|| format!("\n{}\n{ESTIMATE}", kind_table(&report.kinds)));
    faults.chain(more).chain([right]).chain(kinds).collect::<Vec<_>>().join("\n")
}

fn kind_table(kinds: &[KindReport]) -> String {
    let row = |kind: &KindReport| {
        let figure = |(name, value): (&str, f64)| format!("{} {value:.2}", name.replace('_', " "));
        let figures: Vec<String> = figures(kind).into_iter().map(figure).collect();
        vec![
            kind.letter.to_string(),
            kind.kind.to_string(),
            format!("{:.3} mm", kind.x.0),
            kind.symbols.to_string(),
            format!("{} of {}", kind.read, KindReport::PRINTS),
            format!("{}, quiet zone {:.1} modules", figures.join(", "), kind.quiet_zone),
        ]
    };
    table(&["letter", "symbol", "module", "labels#", "prints read", "figures"], kinds.iter().map(row))
}

fn foreign(
    file: &Path,
    pages: usize,
    dpi: Dpi,
    found: &[KnownSymbol],
    session: &mut Session<'_, '_>,
) -> Result<Outcome, CliError> {
    let mut json = report_json(&Report { symbols: found.len(), ..Report::default() });
    json["file"] = file.display().to_string().into();
    json["found"] = found.iter().map(found_json).collect();
    session.answer(&json, || {
        let (symbols, pages) = (count(found.len() as u64, "symbol"), count(pages as u64, "page"));
        let lines = found.iter().take(MOST_LINES).map(found_text);
        let more = found.len().saturating_sub(MOST_LINES);
        let more = (more > 0).then(|| format!("… and {more} more; --json has all"));
        let head = format!("no run of this register printed this file; {symbols} on {pages}, drawn at {dpi}");
        [head].into_iter().chain(lines).chain(more).collect::<Vec<_>>().join("\n")
    })?;
    Ok(if found.is_empty() { Outcome::NothingFound } else { Outcome::Done })
}

fn found_json(found: &KnownSymbol) -> Value {
    let symbol = &found.symbol;
    json!({
        "page": symbol.page,
        "kind": symbol.kind,
        "payload": symbol.text,
        "known": found.code.is_some(),
        "code": found.code.map(|code| code.to_string()),
    })
}

fn found_text(found: &KnownSymbol) -> String {
    let symbol = &found.symbol;
    let known = found.code.map_or_else(|| "unknown here".to_owned(), |code| format!("known as {code}"));
    format!("page {}: {} `{}`, {known}", symbol.page, symbol.kind, symbol.text)
}
