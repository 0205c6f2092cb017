//! The command line: arguments → validated options → a call of [`crate::job`] → what is printed.
//!
//! Start with [`run`]. One file a command. Nothing is decided here that another front end would have
//! to decide again.

mod area;
mod arrange;
mod ask;
mod backup;
mod bin;
mod bin_kind;
mod bin_ways;
mod chart;
mod check;
mod count;
mod demo;
mod desk;
mod edit;
mod expense;
mod export;
mod find;
mod font;
mod fullness;
mod history;
mod import;
mod io;
mod item;
mod labels;
mod large;
mod lift;
mod manual;
mod outcome;
mod photo;
mod pick;
mod pick_scan;
mod preview;
mod print_args;
mod printed;
mod printer;
mod progress;
mod proof;
mod put;
mod reader;
mod regroup;
mod retag;
mod returns;
mod room;
mod room_args;
mod run;
mod scan;
mod session;
mod set;
mod sheet;
mod size;
mod sold;
mod sold_import;
mod spot;
mod stale;
mod stow;
mod table;
mod takings;
mod undo;
mod values;
mod width;

pub use io::Io;
pub use manual::command;

use std::ffi::OsString;

use clap::{CommandFactory, FromArgMatches, Parser, Subcommand};

use outcome::{CliError, Outcome};
use session::Session;

/// Codes, labels and a register for one-off goods kept in tubs.
#[derive(Debug, Parser)]
#[command(name = "stowmark", version, about, after_help = START, max_term_width = 100)]
struct Cli {
    #[command(flatten)]
    global: Global,
    #[command(subcommand)]
    command: Command,
}

const START: &str = "A first quarter of an hour:
  stowmark area add 4 \"Loft\"
  stowmark bin add 4 --count 5 --spot \"rack 1, level 2\"
  stowmark item add \"Copper jam pan\" --bin 4A --cost 3.50 --asking 24.95
  stowmark sign
  stowmark tag
  stowmark find 4A-001F

The last letter of an item's code is a check letter: it follows from the rest, so that a slip of
the pen or the reader is noticed. When you type a code you may leave it out.

`stowmark demo` shows all of it in a folder of its own.";

/// Options of every command.
#[derive(Debug, Clone, clap::Args)]
struct Global {
    /// The register's file; else the one named by the variable `STOWMARK_REGISTER`, else one in your data folder
    #[arg(long, global = true, value_name = "FILE", help_heading = "Options of every command")]
    register: Option<std::path::PathBuf>,
    /// Answer with one JSON document and nothing else
    #[arg(long, global = true, help_heading = "Options of every command")]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Rooms or parts of them, numbered 1 to 999
    #[command(subcommand, after_help = "Example:\n  stowmark area add 4 \"Loft\"\n  stowmark area list")]
    Area(area::AreaCommand),
    /// Places within an area where bins stand
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark spot order 4 \"rack 1\" \"rack 2\"\n  stowmark spot list 4"
    )]
    Spot(spot::SpotCommand),
    /// Tubs, boxes, drawers
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark bin add 4 --count 5 --spot \"rack 1, level 2\"\n  stowmark bin show 4A"
    )]
    Bin(bin::BinCommand),
    /// Things for sale
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark item add \"Copper jam pan\" --bin 4A --cost 3.50\n  stowmark item import buys.csv --bin 4A"
    )]
    Item(item::ItemCommand),
    /// Names for sizes of items, such as medium
    #[command(subcommand, after_help = "Example:\n  stowmark size list\n  stowmark size set medium 2.5")]
    Size(size::SizeCommand),
    /// Say that items are listed
    Listed(edit::ListedArgs),
    /// Packing material, travel, subscriptions
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark expense add 12.50 Packing tape, 6 rolls\n  stowmark expense list"
    )]
    Expense(expense::ExpenseCommand),
    /// What was earned, by weeks or months
    Takings(takings::TakingsArgs),
    /// Files for a spreadsheet or another program
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark export items items.csv\n  stowmark export listing-codes --unlisted"
    )]
    Export(export::ExportCommand),
    /// Put items into another bin
    Put(put::PutArgs),
    /// Give moved items codes of the bins that they are in
    Retag(retag::RetagArgs),
    /// Say that items are sold, and what for
    Sold(sold::SoldArgs),
    /// Show the picking round over all that is sold
    Pick(pick::PickArgs),
    /// Say that sold items were taken from their bins
    Picked(pick::PickedArgs),
    /// Take a sold item back into a bin
    Return(returns::ReturnArgs),
    /// Give a part of the price back without the item coming back
    Refund(returns::RefundArgs),
    /// Say that items are lost, broken or given away
    Gone(returns::GoneArgs),
    /// Put items into bins with a barcode reader
    Stow(stow::StowArgs),
    /// Hold what is in a bin against the register
    Count(count::CountArgs),
    /// A guide weight for lifting a tub
    Lift(lift::LiftArgs),
    /// Take the last changes back
    Undo(undo::UndoArgs),
    /// What happened when, of all, of an item or of a bin
    History(history::HistoryArgs),
    /// Copy the register into a file
    Backup(backup::BackupArgs),
    /// Put a backup in the place of the register
    Restore(backup::RestoreArgs),
    /// Look for anything in the register that is not as it should be
    Check(check::CheckArgs),
    /// Plan which items move so that bins become free, and carry it out by scans
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark regroup plan\n  stowmark regroup list\n  stowmark regroup go"
    )]
    Regroup(regroup::RegroupCommand),
    /// Print the tags of items
    Tag(labels::TagArgs),
    /// Print the signs of bins
    Sign(labels::SignArgs),
    /// Print strips for shelves
    Strip(labels::StripArgs),
    /// Print lists of what is in bins
    Contents(labels::ContentsArgs),
    /// Show which printed labels are wrong now, and why
    Stale(stale::StaleArgs),
    /// Printed runs, to look at or to cancel
    #[command(subcommand, after_help = "Example:\n  stowmark run list\n  stowmark run cancel 3")]
    Run(run::RunCommand),
    /// Print labels of a run again, after a jam
    Reprint(run::ReprintArgs),
    /// Find by code or by words of a title
    Find(find::FindArgs),
    /// Read the tags and signs in photographs
    Photo(photo::PhotoArgs),
    /// Answer a barcode reader, line by line
    Scan(scan::ScanArgs),
    /// Label sheets and rolls
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark sheet list --label 63.5x38.1\n  stowmark sheet show a4-3x7"
    )]
    Sheet(sheet::SheetCommand),
    /// Fonts for scripts that the bundled faces lack
    #[command(subcommand, after_help = "Example:\n  stowmark font add fonts/characters.otf\n  stowmark font list")]
    Font(font::FontCommand),
    /// Printers: their resolution, how true they print, and their queue
    #[command(
        subcommand,
        after_help = "Example:\n  stowmark printer add laser --dpi 600 --default\n  stowmark printer align laser"
    )]
    Printer(printer::PrinterCommand),
    /// Show or change what is set once for all commands
    Set(set::SetArgs),
    /// Read a printed file back, and estimate how well its symbols will read
    Proof(proof::ProofArgs),
    /// See the whole road on sample data, in a folder of its own
    Demo(demo::DemoArgs),
    /// Open the program as pages in the browser, also for a phone
    Desk(desk::DeskArgs),
    /// Print a completion script for a shell
    Completions(manual::CompletionsArgs),
    /// Print the page that tells what is in the answers with --json
    Json(manual::JsonArgs),
    /// Print a manual page
    Man(manual::ManArgs),
}

/// Runs the program with these arguments, the first being its own name, and gives its exit code: 0
/// done, 1 failed or refused, 2 usage, 3 nothing found.
pub fn run(arguments: impl IntoIterator<Item = OsString>, io: &mut Io<'_>) -> u8 {
    let cli = match Cli::command().try_get_matches_from(arguments).and_then(|found| Cli::from_arg_matches(&found)) {
        Ok(cli) => cli,
        Err(usage) => return io.usage(&usage),
    };
    let json = cli.global.json;
    let mut session = Session::new(cli.global, io);
    let outcome = dispatch(cli.command, &mut session);
    let code = match outcome {
        Ok(Outcome::Done) => 0,
        Ok(Outcome::NothingFound) => 3,
        Ok(Outcome::Unsound) => 1,
        Err(CliError::Io(fault)) if fault.kind() == std::io::ErrorKind::BrokenPipe => 0,
        Err(fault) => {
            session.io().fail(&fault, json);
            1
        }
    };
    session.close(code)
}

fn dispatch(command: Command, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    match command {
        Command::Area(command) => area::run(&command, session),
        Command::Spot(command) => spot::run(&command, session),
        Command::Bin(command) => bin::run(&command, session),
        Command::Item(command) => item::run(&command, session),
        Command::Size(command) => size::run(&command, session),
        Command::Listed(args) => edit::listed(&args, session),
        Command::Expense(command) => expense::run(&command, session),
        Command::Takings(args) => takings::run(&args, session),
        Command::Export(command) => export::run(&command, session),
        Command::Put(args) => put::run(&args, session),
        Command::Retag(args) => retag::run(&args, session),
        Command::Sold(args) => sold::run(&args, session),
        Command::Pick(args) => pick::run(&args, session),
        Command::Picked(args) => pick::picked(&args, session),
        Command::Return(args) => returns::take_back(&args, session),
        Command::Refund(args) => returns::refund(&args, session),
        Command::Gone(args) => returns::gone(&args, session),
        Command::Stow(args) => stow::run(&args, session),
        Command::Count(args) => count::run(&args, session),
        Command::Lift(args) => lift::run(&args, session),
        Command::Undo(args) => undo::run(&args, session),
        Command::History(args) => history::run(&args, session),
        Command::Backup(args) => backup::run(&args, session),
        Command::Restore(args) => backup::run_restore(&args, session),
        Command::Check(args) => check::run(&args, session),
        Command::Regroup(command) => regroup::run(&command, session),
        Command::Tag(args) => labels::tag(&args, session),
        Command::Sign(args) => labels::sign(&args, session),
        Command::Strip(args) => labels::strip(&args, session),
        Command::Contents(args) => labels::contents(&args, session),
        Command::Stale(args) => stale::run(&args, session),
        Command::Run(command) => run::run(&command, session),
        Command::Reprint(args) => run::reprint(&args, session),
        Command::Find(args) => find::run(&args, session),
        Command::Photo(args) => photo::run(&args, session),
        Command::Scan(args) => scan::run(&args, session),
        Command::Sheet(command) => sheet::run(&command, session),
        Command::Font(command) => font::run(&command, session),
        Command::Printer(command) => printer::run(&command, session),
        Command::Set(args) => set::run(&args, session),
        Command::Proof(args) => proof::run(&args, session),
        Command::Demo(args) => demo::run(&args, session),
        Command::Desk(args) => desk::run(&args, session),
        Command::Completions(args) => manual::completions(&args, session),
        Command::Json(args) => manual::json_page(&args, session),
        Command::Man(args) => manual::man(&args, session),
    }
}
