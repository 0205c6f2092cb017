//! `stowmark run` and `stowmark reprint`

use clap::Subcommand;
use serde_json::json;

use super::{
    arrange::Arrange,
    outcome::{CliError, Outcome},
    print_args::{FileArgs, StartArgs},
    printed::print_and_answer,
    session::Session,
    table::{count, table},
};
use crate::{
    exchange::json::{RecordedLabelJson, RunJson, RunLabelsJson},
    job::{Again, Freed, cancel, freed, label_said, local_day, reprint as job_reprint, run_by_text, sheet_by_name},
    register::{RecordedLabel, RecordedRun, RunState, RunSummary},
    sheet::SlotList,
};

#[derive(Debug, Subcommand)]
pub(super) enum RunCommand {
    /// List all runs, the newest last
    #[command(after_help = "Example:\n  stowmark run list\n  stowmark run list --has signs --sort sheet")]
    List(Arrange),
    /// Show the labels of a run: page, slot, code and what each said
    #[command(after_help = "Example:\n  stowmark run show 3")]
    Show {
        /// Its number
        #[arg(value_name = "RUN")]
        run: String,
    },
    /// Cancel a run of which nothing came out of the printer
    #[command(
        after_help = "Its labels count as not printed, and the slots of its sheet are free again. The file is left where
it is. After a jam, when some labels came out, use `stowmark reprint` instead.

Example:
  stowmark run cancel 3"
    )]
    Cancel {
        /// Its number
        #[arg(value_name = "RUN")]
        run: String,
    },
}

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The slots of the old run stay spent; the new labels go on the next free ones, as a run of their own.
They are drawn as the old ones were, but say what the register says now.

Example:
  stowmark reprint 3
  stowmark reprint 3 --slots 4-9
  stowmark reprint 3 --slots 2:4-9,12 --sheet a4-3x7"
)]
pub(super) struct ReprintArgs {
    /// The number of the run
    #[arg(value_name = "RUN")]
    run: String,
    /// Only the labels on these slots of its file, as 3,7-9; on page 2 as 2:3,7-9
    #[arg(long, value_name = "SLOTS")]
    slots: Option<String>,
    /// Another label sheet or roll, as `stowmark sheet list` names it
    #[arg(long, value_name = "NAME")]
    sheet: Option<String>,
    #[command(flatten)]
    start: StartArgs,
    #[command(flatten)]
    file: FileArgs,
}

pub(super) fn run(command: &RunCommand, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        RunCommand::List(arrange) => list(arrange, session),
        RunCommand::Show { run } => show(run, session),
        RunCommand::Cancel { run } => cancel_run(run, session),
    }
}

fn list(arrange: &Arrange, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let runs = arrange.apply(&HEADINGS, session.register()?.run_summaries()?, row)?;
    let json = json!({ "runs": runs.iter().map(|run| RunJson::new(run, run.labels)).collect::<Vec<_>>() });
    session.answer(&json, || run_table(&runs))?;
    Ok(Outcome::Done)
}

const HEADINGS: [&str; 7] = ["run", "printed", "what", "labels#", "sheet", "state", "file"];

fn row(run: &RunSummary) -> Vec<String> {
    vec![
        run.id.to_string(),
        local_day(&run.at),
        run.kind.word().to_owned(),
        run.labels.to_string(),
        run.sheet.clone(),
        run.state.word().to_owned(),
        run.target.display().to_string(),
    ]
}

fn run_table(runs: &[RunSummary]) -> String {
    if runs.is_empty() { "no runs".into() } else { table(&HEADINGS, runs.iter().map(row)) }
}

fn show(number: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let run = run_by_text(session.register()?, number)?;
    let json = RunLabelsJson {
        run: RunJson::new(&run, run.labels.len()),
        placed: run.labels.iter().map(RecordedLabelJson::from).collect(),
    };
    session.answer(&json, || format!("{}\n\n{}", heading(&run), label_table(&run.labels)))?;
    Ok(Outcome::Done)
}

fn heading(run: &RecordedRun) -> String {
    let (labels, pages) = (count(run.labels.len() as u64, run.kind.noun()), count(run.pages as u64, "page"));
    let of = run.options["reprint_of"].as_u64().map(|of| format!(" (labels of run {of:04} again)")).unwrap_or_default();
    let state = match (&run.state, &run.cancelled_at) {
        (RunState::Cancelled, Some(at)) => format!("; cancelled on {}", local_day(at)),
        (RunState::Writing, _) => "; not settled yet".into(),
        _ => String::new(),
    };
    let file = run.target.display();
    format!("run {}, {}: {labels} on {pages} of {}{of}{state}\n{file}", run.id, local_day(&run.at), run.sheet)
}

fn label_table(labels: &[RecordedLabel]) -> String {
    let row = |label: &RecordedLabel| {
        vec![label.page.to_string(), label.slot.to_string(), label.payload.clone(), label_said(label)]
    };
    table(&["page#", "slot#", "payload", "said"], labels.iter().map(row))
}

fn cancel_run(number: &str, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let run = run_by_text(register, number)?.id;
    let run = cancel(register, run)?;
    let slots = freed_text(freed(register, &run)?, &run.sheet);
    session.answer(&RunJson::new(&run, run.labels.len()), || {
        format!(
            "run {} is cancelled: {} as not printed{slots}\nthe file is left where it is: {}",
            run.id,
            counted(run.labels.len(), run.kind.noun()),
            run.target.display()
        )
    })?;
    Ok(Outcome::Done)
}

/// What became of the slots of a cancelled run.
fn freed_text(freed: Freed, sheet: &str) -> String {
    match freed {
        Freed::None => String::new(),
        Freed::Free => format!("; its slots of {sheet} are free again"),
        Freed::Passed => {
            format!("; later runs went on to another sheet of {sheet}, so name its free slots with --skip to use them")
        }
    }
}

/// `1 tag counts`, `3 tags count`
fn counted(number: usize, noun: &str) -> String {
    format!("{} {}", count(number as u64, noun), if number == 1 { "counts" } else { "count" })
}

pub(super) fn reprint(args: &ReprintArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let register = session.register_for_change()?;
    let run = run_by_text(register, &args.run)?;
    let again = Again {
        slots: args.slots.as_deref().map(SlotList::parse_paged).transpose()?,
        sheet: args.sheet.as_deref().map(|name| sheet_by_name(register, name)).transpose()?,
        from: args.start.from,
        skip: args.start.skip.clone(),
        fresh_sheet: args.start.fresh_sheet,
        out: args.file.out.clone(),
        force: args.file.force,
        date: jiff::ZonedDateTime::now().date(),
    };
    let again = job_reprint(register, run, again)?;
    let more = format!("\nthey say what the register says now; the old labels of run {} stay spent", again.of.id);
    print_and_answer(again.of.kind, again.jobs, again.options, &args.file, ["no labels to print again", &more], session)
}
