//! How a command ended.

use std::io;

use crate::{
    code::CodeError,
    desk::DeskError,
    exchange::{DateError, MappingError},
    job::{
        AlignPageError, BackupError, CountError, ExportError, FontsError, ImportError, PhotoError, PictureError,
        PrintError, PrinterError, ProofError, ReferenceError, RegroupError, ReprintError, RoundPageError, SendError,
        SettingError, SheetNameError, SizeError, StackError, StartError, TakingsError, TickListError, WantedError,
    },
    output::{FileError, OutputError},
    register::{RegisterError, TitleError},
    sheet::{SheetError, SlotError},
    unit::{AmountError, RoomError, UnitError},
};

/// How a command ended that did not fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Outcome {
    Done,
    NothingFound,
    /// A check found something.
    Unsound,
}

/// Why a command failed.
#[derive(Debug, thiserror::Error)]
pub(super) enum CliError {
    #[error("no data folder is known on this system; name the register with --register FILE")]
    NoDataFolder,
    #[error("{option}: {source}")]
    Amount { option: &'static str, source: AmountError },
    #[error("{option}: {source}")]
    Room { option: &'static str, source: RoomError },
    #[error(transparent)]
    Size(#[from] SizeError),
    #[error("{option}: {source}")]
    Date { option: &'static str, source: DateError },
    #[error("`{0}` is not empty; name a new folder, or use --force to run the demo there again")]
    DemoFolder(std::path::PathBuf),
    #[error("`{0}` holds files that are not the demo's; name a new folder")]
    DemoForeign(std::path::PathBuf),
    #[error("`{path}` can't be read or written; name another folder for the demo")]
    DemoFile { path: std::path::PathBuf, source: io::Error },
    #[error("the demo stopped at `{0}`")]
    DemoStep(String),
    #[error("there is no command `{0}`; `stowmark help` shows all")]
    NoCommand(String),
    #[error("{0}; nothing was done")]
    NotConfirmed(&'static str),
    #[error(transparent)]
    Mapping(#[from] MappingError),
    #[error(
        "nothing to change was named; give --title, --cost, --asking, --bought, --note, --litres, --measures, --size or --grams"
    )]
    NothingToEdit,
    #[error("nothing to amend was named; give --price, --fees, --postage, --on or --order")]
    NothingToAmend,
    #[error("nothing to change was named; give --spot, --stack, --kind, --litres, --max-kg or --inside")]
    NoBinEdit,
    #[error("no bin has a volume, so nobody knows what fits; `stowmark bin edit CODE --litres 36` gives one")]
    NoVolumes,
    #[error("nothing to change was named; give --litres, --max-kg or --inside")]
    NoKindEdit,
    #[error(transparent)]
    Stack(#[from] StackError),
    #[error(
        "by the equation of the guide weight it should not be lifted like that; `stowmark lift` with the same options tells why"
    )]
    NoGuideWeight,
    #[error("`{path}` can't be read; name a JPEG or PNG file")]
    PhotoFile { path: std::path::PathBuf, source: io::Error },
    #[error("`{path}`: {source}")]
    PhotoIn { path: std::path::PathBuf, source: PhotoError },
    #[error(transparent)]
    Photo(#[from] PhotoError),
    #[error(transparent)]
    Backup(#[from] BackupError),
    #[error("there is no column `{name}`; there are {known}")]
    NoColumn { name: String, known: String },
    #[error(transparent)]
    Area(#[from] CodeError),
    #[error(transparent)]
    Reference(#[from] ReferenceError),
    #[error(transparent)]
    Count(#[from] CountError),
    #[error("the count was broken off; nothing was recorded")]
    CountBrokenOff,
    #[error("`count due` and `count accuracy` are about all bins; leave `{0}` out")]
    CountBoth(String),
    #[error("--found says what belongs elsewhere; say with --missing CODE… or --all-present what is there as well")]
    FoundAlone,
    #[error(transparent)]
    TickList(#[from] TickListError),
    #[error(transparent)]
    Register(#[from] RegisterError),
    #[error(transparent)]
    Title(#[from] TitleError),
    #[error(transparent)]
    Font(#[from] FontsError),
    #[error(transparent)]
    Import(#[from] ImportError),
    /// Of a list of orders.
    #[error(transparent)]
    Orders(ImportError),
    #[error(transparent)]
    Export(#[from] ExportError),
    #[error(transparent)]
    Takings(#[from] TakingsError),
    #[error(transparent)]
    Print(#[from] PrintError),
    #[error("the file is written and the run recorded, but {0}")]
    Picture(#[from] PictureError),
    #[error("the file is written and the run recorded, but {0}")]
    Send(#[from] SendError),
    #[error(transparent)]
    Sheet(#[from] SheetError),
    #[error(transparent)]
    SheetName(#[from] SheetNameError),
    #[error(transparent)]
    Slots(#[from] SlotError),
    #[error(transparent)]
    Start(#[from] StartError),
    #[error(transparent)]
    Reprint(#[from] ReprintError),
    #[error(transparent)]
    Wanted(#[from] WantedError),
    #[error(transparent)]
    Setting(#[from] SettingError),
    #[error(transparent)]
    Unit(#[from] UnitError),
    #[error(transparent)]
    Printer(#[from] PrinterError),
    #[error(transparent)]
    Align(#[from] AlignPageError),
    #[error(transparent)]
    Regroup(#[from] RegroupError),
    #[error(transparent)]
    Round(#[from] RoundPageError),
    #[error(transparent)]
    Output(#[from] OutputError),
    #[error(transparent)]
    Desk(#[from] DeskError),
    #[error(transparent)]
    Proof(#[from] ProofError),
    #[error("{faults} of {symbols} symbols of `{file}` are not as they should be; print those labels again")]
    Proved { file: std::path::PathBuf, faults: usize, symbols: usize },
    #[error(transparent)]
    File(#[from] FileError),
    #[error("the answer could not be written; what was asked for is done")]
    Io(#[from] io::Error),
}
