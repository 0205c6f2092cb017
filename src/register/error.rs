//! Why the register refused.
//!
//! Start with [`RegisterError`]. Each message says what was wrong, with the value, and the next thing to try on the
//! command line; other front ends leave the commands out.

mod words;

use std::path::PathBuf;

use jiff::civil::Date;
use rusqlite::ErrorCode;

use super::{ChangeId, ChangeSummary, Later, RunId, SoldAs, Status, TitleError};
use crate::code::{AreaNumber, BinCode, CodeError};
use words::{
    have_text, known_kinds_text, known_text, later_text, left_text, of_kind_text, under_way_text, unsellable_text,
    unsold_text, within_text,
};

/// Why the register refused. Nothing has been changed then.
#[derive(Debug, thiserror::Error)]
pub enum RegisterError {
    /// There is no file.
    #[error(
        "there is no register at `{0}` yet; `stowmark area add 1 \"NAME\"` makes one, or name another with --register"
    )]
    Missing(PathBuf),
    /// There is no backup of that name.
    #[error("there is no backup `{0}`; `stowmark backup list` shows those that were made by themselves")]
    NoBackup(PathBuf),
    /// The file is something else.
    #[error("`{0}` is no register of this program; name another file with --register")]
    Foreign(PathBuf),
    /// The file was written by a newer version.
    #[error("the register `{0}` comes from a newer version of this program; install that version to use it")]
    Newer(PathBuf),
    /// A folder has that name.
    #[error("`{0}` is a folder; name the register's file with --register")]
    Folder(PathBuf),
    /// The file or its folder can't be reached.
    #[error("the register `{path}` can't be opened; check that the folder is there and may be written to")]
    Unreachable {
        /// Where.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The area is there already.
    #[error("area {number} is there already, named `{name}`")]
    AreaExists {
        /// Its number.
        number: AreaNumber,
        /// Its name.
        name: String,
    },
    /// No such area.
    #[error("there is no area {0}; `stowmark area list` shows all, `stowmark area add {0} \"NAME\"` makes it")]
    UnknownArea(AreaNumber),
    /// No such spot in the area.
    #[error("area {area} has no spot `{name}`; {}", known_text(known))]
    UnknownSpot {
        /// The area.
        area: AreaNumber,
        /// What was asked for.
        name: String,
        /// Its spots.
        known: Vec<String>,
    },
    /// Two spots of an area are told apart by their names.
    #[error("area {area} has a spot `{name}` already; give another name")]
    SpotExists {
        /// The area.
        area: AreaNumber,
        /// The name.
        name: String,
    },
    /// Something has one place in an order only.
    #[error("`{0}` is named twice; name each once, in the order in which you walk")]
    NamedTwice(String),
    /// The kind of bins is there already.
    #[error("there is a kind of bins `{0}` already; `stowmark bin kind edit` changes it")]
    KindExists(String),
    /// No such kind of bins.
    #[error("there is no kind of bins `{name}`; {}", known_kinds_text(known))]
    UnknownKind {
        /// What was asked for.
        name: String,
        /// Those there are.
        known: Vec<String>,
    },
    /// Bins are of the kind.
    #[error("the kind of bins `{name}` stays: {}", of_kind_text(*first, *bins))]
    KindInUse {
        /// Its name.
        name: String,
        /// The first of them.
        first: BinCode,
        /// How many there are.
        bins: u32,
    },
    /// Items would have a size of which nothing is known.
    #[error(
        "{} the size `{name}`, which would be no more; `stowmark item edit CODE --size NAME` gives another one, \
         `stowmark size set` makes a size", have_text(*items)
    )]
    SizeInUse {
        /// Its name.
        name: String,
        /// How many items have it.
        items: u32,
    },
    /// A name that tables have no room for.
    #[error("`{name}` has {chars} characters; names of kinds of bins and of sizes have {most} at most")]
    LongName {
        /// The name.
        name: String,
        /// How long it is.
        chars: usize,
        /// How long it may be.
        most: usize,
    },
    /// The word for what is not there is no name.
    #[error("`{0}` takes a value away and can't be a name; choose another one")]
    NoName(String),
    /// No such bin.
    #[error("there is no bin {0}; `stowmark bin list` shows all")]
    UnknownBin(BinCode),
    /// The entry of the bin was taken back.
    #[error(
        "bin {0} was taken back; `stowmark bin list` shows those that are there, `stowmark history {0}` tells when"
    )]
    BinTakenBack(BinCode),
    /// The bin is not used any more.
    #[error(
        "bin {bin} is retired since {since}; `stowmark bin list` shows those in use, `stowmark bin retire {bin} --back` takes it into use again"
    )]
    BinRetired {
        /// Its code.
        bin: BinCode,
        /// Since when.
        since: Date,
    },
    /// What is in the bin would be nowhere.
    #[error(
        "bin {bin} is not empty: {}; `stowmark put CODE… --in BIN` puts them elsewhere, `stowmark regroup plan --empty {bin}` proposes where", within_text(*items, first)
    )]
    BinNotEmpty {
        /// Its code.
        bin: BinCode,
        /// How many items are in it.
        items: u32,
        /// The first of them.
        first: Vec<String>,
    },
    /// The bin has a code of that area.
    #[error("bin {bin} is in area {area} already; `stowmark bin move {bin} --spot TEXT` says where in it")]
    BinInArea {
        /// Its code.
        bin: BinCode,
        /// The area.
        area: AreaNumber,
    },
    /// The item is not here any more.
    #[error("{item} is {}", left_text(*status, item))]
    HasLeft {
        /// What it is called by.
        item: String,
        /// What has become of it.
        status: Status,
    },
    /// The item can't be listed as it is.
    #[error("{item} can't be listed: it is {}", left_text(*status, item))]
    CannotList {
        /// What it is called by.
        item: String,
        /// What has become of it.
        status: Status,
    },
    /// The item is sold and has not come back.
    #[error(
        "{item} is {sold}; --amend changes the figures of that sale, `stowmark return {item} --in BIN` takes it back in"
    )]
    SoldBefore {
        /// What it is called by.
        item: String,
        /// How.
        sold: SoldAs,
    },
    /// The item can't be sold as it is.
    #[error("{item} can't be sold: it is {}", unsellable_text(*status, item))]
    CannotSell {
        /// What it is called by.
        item: String,
        /// What has become of it.
        status: Status,
    },
    /// The item is not sold.
    #[error("{item} is not sold: {}", unsold_text(*status, item))]
    NotSold {
        /// What it is called by.
        item: String,
        /// What has become of it.
        status: Status,
    },
    /// The item was taken from its bin already.
    #[error("{item} was picked already: {sold}")]
    PickedBefore {
        /// What it is called by.
        item: String,
        /// How it was sold.
        sold: SoldAs,
    },
    /// All is to be given back, and nobody knows how much that is.
    #[error(
        "what the buyer paid for {0} is not known; give the amount with --refund, or the price with \
         `stowmark sold {0} --amend --price AMOUNT`"
    )]
    PriceUnknown(String),
    /// More is to be given back than was paid.
    #[error("{amount} is more than the {most} that can still be given back for {item}")]
    RefundTooLarge {
        /// What it is called by.
        item: String,
        /// What was asked for, in major units.
        amount: String,
        /// What is left of the price, in major units.
        most: String,
    },
    /// A price that is less than what was given back of it.
    #[error("more than that was given back for {0} already; `stowmark history {0}` shows what")]
    PriceBelowRefund(String),
    /// The item is gone already.
    #[error("{item} is gone already, since {since}: {why}")]
    GoneBefore {
        /// What it is called by.
        item: String,
        /// Since when.
        since: Date,
        /// Why.
        why: String,
    },
    /// A label from before that can't be taken on.
    #[error("the old code `{text}` can't be taken: {why}")]
    OldCode {
        /// As it is written.
        text: String,
        /// Why.
        why: String,
    },
    /// Nothing can be taken back.
    #[error("there is nothing to take back; `stowmark history` shows what happened")]
    NothingToUndo,
    /// No such change.
    #[error("there is no change {0}; `stowmark history` shows all")]
    UnknownChange(ChangeId),
    /// The change was taken back already.
    #[error("change {0} was taken back already; `stowmark history` shows by which")]
    UndoneBefore(ChangeId),
    /// Others stand on the change.
    #[error("{change} stays, since other things stand on it; take these back first:{}", later_text(later))]
    StandsOn {
        /// The change.
        change: ChangeSummary,
        /// What stands on it.
        later: Vec<Later>,
    },
    /// What it would bring back is in the way of what is there now.
    #[error(
        "{change} can't be taken back any more: what it would bring back {}; `stowmark history` shows what was done since",
        if *needs { "needs something that was removed since" } else { "clashes with what is there now" }
    )]
    Clashes {
        /// The change.
        change: ChangeSummary,
        /// Whether it needs what is not there any more, as a bin its kind.
        needs: bool,
        /// What the database said, which is not for users.
        fault: Box<rusqlite::Error>,
    },
    /// Amounts are kept in minor units of the currency.
    #[error(
        "the currency stays: there are amounts already, and they would mean something else with another number of decimals"
    )]
    AmountsStand,
    /// What was printed stays on record.
    #[error("area {area} stays: its label is on record with run {run}")]
    AreaOnRecord {
        /// Its number.
        area: i64,
        /// The run.
        run: RunId,
    },
    /// The codes of bins carry the area's number.
    #[error("area {0} stays: its bins have had codes, and a code never dies")]
    AreaHasCodes(i64),
    /// No such expense.
    #[error("there is no expense {0}; `stowmark expense list` shows all")]
    UnknownExpense(i64),
    /// No such run.
    #[error("there is no run {0}; `stowmark run list` shows all")]
    UnknownRun(RunId),
    /// The run is cancelled already.
    #[error("run {run} was cancelled already, on {at}")]
    CancelledBefore {
        /// Its number.
        run: RunId,
        /// The day.
        at: String,
    },
    /// The run was cut off, and its file can't be looked at.
    #[error("run {0} was cut off and is not settled yet; make its file reachable and try again")]
    RunIsOpen(RunId),
    /// An own sheet of that name is there.
    #[error("there is a sheet `{0}` already; `stowmark sheet remove {0}` removes it, or choose another name")]
    SheetExists(String),
    /// A plan of moves is under way.
    #[error(
        "a plan of moves is under way: {done} of {all} done{}; `stowmark regroup go` goes on with it, `stowmark regroup drop` ends it",
        under_way_text(*taken, *missing)
    )]
    RegroupBegun {
        /// Moves that are done.
        done: usize,
        /// All moves.
        all: usize,
        /// Items that are in hand.
        taken: usize,
        /// Items that were missing.
        missing: usize,
    },
    /// No plan of moves is open.
    #[error("no plan of moves is open; `stowmark regroup plan` makes one")]
    NoRegroup,
    /// A plan of moves has nowhere to put things.
    #[error(
        "bin {bin} is retired since {since}, and the plan of moves still puts things into it; `stowmark regroup drop`, then `stowmark regroup plan` makes a new one"
    )]
    RegroupBinRetired {
        /// Its code.
        bin: BinCode,
        /// Since this day.
        since: Date,
    },
    /// Others went on with the plan.
    #[error("somebody else has gone on with the plan at this moment; nothing was changed, scan it again")]
    RegroupChanged,
    /// Taking a change back would leave two open plans.
    #[error("{0} stays: another plan of moves is open; `stowmark regroup drop` ends that one")]
    TwoRegroups(ChangeSummary),
    /// A plan has ended, or has gone on, with a later change.
    #[error("{0} stays: its plan of moves has ended since; `stowmark history` shows with what, take that back first")]
    RegroupWentOn(ChangeSummary),
    /// A code that can't be given.
    #[error(transparent)]
    Code(#[from] CodeError),
    /// A text that can't be taken.
    #[error(transparent)]
    Title(#[from] TitleError),
    /// The same file was imported before.
    #[error("`{file}` was imported already, on {at} (items: {items}); with --again its rows come in a second time")]
    ImportedBefore {
        /// The name that it had.
        file: String,
        /// The day.
        at: String,
        /// How many items came from it.
        items: i64,
    },
    /// A value that is not what the register writes.
    #[error("the register holds `{0}`, which this program did not write; restore a backup")]
    Damaged(String),
    /// The disk is full.
    #[error("the disk is full; nothing was changed. Make room and try again")]
    Full(#[source] rusqlite::Error),
    /// Another program keeps the register locked.
    #[error("another program is writing to the register; nothing was changed. Try again when it is done")]
    Busy(#[source] rusqlite::Error),
    /// The register can't be written to.
    #[error("the register may not be written to; check the rights of the file and its folder")]
    ReadOnly(#[source] rusqlite::Error),
    /// The last changes lie beside the file and can't be read from there.
    #[error(
        "the register `{0}` can't be read here: its last changes still lie in a file beside it that ends in -wal, and nothing may be written here; copy all files that begin with its name to another disk"
    )]
    Unfolded(PathBuf),
    /// The file changed while it was read without locks.
    #[error("the register `{0}` was changed while it was read, so the answer may be wrong; ask again")]
    ChangedMeanwhile(PathBuf),
    /// Its user cancelled a long change.
    #[error("cancelled, so nothing was changed")]
    LeftOff,
    /// A scan that came before.
    #[error("this scan was taken before: {}", _0.what)]
    ScannedBefore(ChangeSummary),
    /// An item is not any more as the user saw it.
    #[error("it was changed meanwhile, so nothing was done; look at it as it is now, and do it again")]
    ItemChanged,
    /// Another program has the register open.
    #[error("another program has the register `{0}` open; end it and try again")]
    InUse(PathBuf),
    /// No room for a copy.
    #[error("there is no room for `{0}`; make some, or name another disk")]
    NoRoom(PathBuf),
    /// A copy that is not sound.
    #[error(
        "the copy of the register is not sound ({0}); try another disk, and look at the register with `stowmark check`"
    )]
    BadCopy(String),
    /// The lock file of printing can't be used.
    #[error("the lock file `{path}` can't be used; check that the folder may be written to")]
    Lock {
        /// Which.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// Anything else from the database.
    #[error("the register could not be read or written; nothing was changed")]
    Sql(#[source] rusqlite::Error),
    /// The structure could not be brought up to date.
    #[error("the register could not be brought up to date; nothing was changed")]
    Migration(#[source] rusqlite_migration::Error),
}

impl From<rusqlite::Error> for RegisterError {
    fn from(source: rusqlite::Error) -> Self {
        if let rusqlite::Error::FromSqlConversionFailure(_, _, fault) = source {
            return fault.downcast().map_or_else(|other| Self::Damaged(other.to_string()), |fault| *fault);
        }
        match source.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full(source),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy(source),
            Some(ErrorCode::ReadOnly) => Self::ReadOnly(source),
            _ => Self::Sql(source),
        }
    }
}
