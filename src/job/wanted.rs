//! What is to be printed, and on what, as a user says it: the labels, and the options of their run.
//!
//! Start with [`Wanted::of`] or [`Wanted::stale`], then [`print_options`]. What labels were printed on before goes before
//! what is usual, and what the user says before both.

use std::path::PathBuf;

use jiff::civil::Date;

use super::{
    Choice, LabelJob, Look, OwnLook, PrintOptions, PrintedOn, PrinterError, ReferenceError, ReprintError, Settings,
    SheetNameError, StaleLabel, Start, StartError, area_signs, device, printed_on, printer_by_name, sheet_by_name,
    stale_of, strips,
};
use crate::{
    code::AreaNumber,
    font::Fonts,
    register::{Register, RegisterError, RunKind},
    sheet::{Device, Paper, Sheet, SheetError, Turn},
    unit::Dpi,
};

/// What is to be printed.
#[derive(Debug, Clone, Default)]
pub struct Wanted {
    /// The labels.
    pub labels: Vec<OwnLook>,
    /// What wrong ones were printed on.
    pub before: Option<PrintedOn>,
}

impl From<Vec<LabelJob>> for Wanted {
    fn from(labels: Vec<LabelJob>) -> Self {
        Self { labels: labels.into_iter().map(OwnLook::from).collect(), before: None }
    }
}

/// Why it can't be printed.
#[derive(Debug, thiserror::Error)]
pub enum WantedError {
    /// A code that stands for nothing.
    #[error(transparent)]
    Reference(#[from] ReferenceError),
    /// What is on record of a run makes no sense.
    #[error(transparent)]
    Reprint(#[from] ReprintError),
    /// The sheet is not known.
    #[error(transparent)]
    SheetName(#[from] SheetNameError),
    /// There is no usual sheet.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// The printer is not known.
    #[error(transparent)]
    Printer(#[from] PrinterError),
    /// Slots to begin on that make no sense.
    #[error(transparent)]
    Start(#[from] StartError),
}

impl From<RegisterError> for WantedError {
    fn from(fault: RegisterError) -> Self {
        Self::Reference(fault.into())
    }
}

impl Wanted {
    /// The labels of a kind that are chosen. Strips and signs of areas have nothing that waits: all are meant then.
    ///
    /// # Errors
    /// [`WantedError::Reference`] for a code that stands for nothing of the kind.
    pub fn of(register: &Register, kind: RunKind, choice: &Choice, date: Date) -> Result<Self, WantedError> {
        let labels = match kind {
            RunKind::Tags => choice.tags(register)?,
            RunKind::Signs => choice.signs(register)?,
            RunKind::Lids => choice.lids(register)?,
            RunKind::Contents => choice.contents(register, date)?,
            RunKind::Strips => {
                let mut jobs = Vec::new();
                for area in areas_of(choice)? {
                    jobs.extend(strips(register, area, None)?);
                }
                jobs
            }
            RunKind::Areas => {
                let numbers: Vec<AreaNumber> = areas_of(choice)?.into_iter().flatten().collect();
                area_signs(register, &numbers)?
            }
        };
        Ok(labels.into())
    }

    /// Of the chosen labels those that are wrong now, each as it looked.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn stale(register: &Register, kind: RunKind, choice: &Choice, date: Date) -> Result<Self, WantedError> {
        match kind {
            RunKind::Strips | RunKind::Areas => {
                let chosen = Self::of(register, kind, choice, date)?.labels;
                let jobs: Vec<LabelJob> = chosen.into_iter().map(|label| label.job).collect();
                Self::stale_among(register, kind, &jobs, date)
            }
            _ => Self::again(register, stale_of(register, kind, choice, date)?),
        }
    }

    /// Of these labels those that are among the wrong ones.
    ///
    /// # Errors
    /// As [`Self::of`].
    pub fn stale_among(register: &Register, kind: RunKind, jobs: &[LabelJob], date: Date) -> Result<Self, WantedError> {
        let mut stale = stale_of(register, kind, &Choice::All, date)?;
        stale.retain(|wrong| jobs.contains(&wrong.job));
        Self::again(register, stale)
    }

    fn again(register: &Register, stale: Vec<StaleLabel>) -> Result<Self, WantedError> {
        let before = printed_on(register, &stale)?;
        Ok(Self { labels: stale.into_iter().map(OwnLook::from).collect(), before })
    }

    /// With what a user says of the looks of all of them.
    #[must_use]
    pub fn dressed(mut self, dress: impl Fn(&mut Look)) -> Self {
        self.labels.iter_mut().filter_map(|job| job.look.as_mut()).for_each(dress);
        self
    }
}

/// The areas of a choice; `None` for all.
fn areas_of(choice: &Choice) -> Result<Vec<Option<AreaNumber>>, WantedError> {
    let number = |text: &String| Ok(Some(text.trim().parse().map_err(RegisterError::Code)?));
    match choice {
        Choice::Of(numbers) => numbers.iter().map(number).collect(),
        Choice::Within(area) | Choice::InArea(area) => Ok(vec![number(area)?]),
        Choice::All | Choice::Waiting => Ok(vec![None]),
    }
}

/// How to print, as a user says it; what is not said is as usual.
#[derive(Debug, Clone, Default)]
pub struct PrintWish {
    /// The sheet.
    pub sheet: Option<String>,
    /// The usual sheet on this paper.
    pub paper: Option<Paper>,
    /// The first slot of the sheet in the printer that is free.
    pub from: Option<u32>,
    /// Slots of it that are spent, as 3,7-9.
    pub skip: Option<String>,
    /// Begin on a fresh sheet.
    pub fresh_sheet: bool,
    /// The printer.
    pub printer: Option<String>,
    /// Its resolution.
    pub dpi: Option<Dpi>,
    /// How pages are turned.
    pub turn: Option<Turn>,
    /// How many of each label.
    pub copies: Option<u16>,
    /// The file.
    pub out: Option<PathBuf>,
    /// Replace a file that is there.
    pub force: bool,
}

/// The options of a run, all but the faces of its text, which are the bundled ones.
///
/// # Errors
/// [`WantedError`] for a sheet, a printer or slots that are not there.
pub fn print_options(
    register: &Register,
    kind: RunKind,
    look: Look,
    before: Option<PrintedOn>,
    wish: &PrintWish,
) -> Result<PrintOptions, WantedError> {
    let settings = Settings::of(register)?;
    let copies = wish.copies.or_else(|| before.as_ref()?.copies);
    let (sheet, before) = sheet(register, kind, before, wish, &settings)?;
    let own = before.filter(|_| wish.printer.is_none());
    let (printer, device, turn) = if let Some(own) = own {
        (own.printer, own.device, own.turn)
    } else {
        let printer = printer_by_name(register, wish.printer.as_deref())?;
        let device = device(printer.as_ref(), None, settings.dpi);
        (printer.map(|printer| printer.name), device, Turn::default())
    };
    Ok(PrintOptions {
        start: Start::new(&sheet, wish.from, wish.skip.as_deref(), wish.fresh_sheet)?,
        sheet,
        look,
        device: Device { dpi: wish.dpi.unwrap_or(device.dpi), ..device },
        printer,
        turn: wish.turn.unwrap_or(turn),
        fonts: Fonts::default(),
        currency: settings.currency,
        copies: copies.unwrap_or(1),
        out: wish.out.clone(),
        force: wish.force,
        reprint_of: None,
    })
}

/// The sheet, with what the labels were printed on if it is the one on which they were.
fn sheet(
    register: &Register,
    kind: RunKind,
    before: Option<PrintedOn>,
    wish: &PrintWish,
    settings: &Settings,
) -> Result<(Sheet, Option<PrintedOn>), WantedError> {
    let own = before.as_ref().and_then(|before| before.sheet.clone());
    let sheet = match (&wish.sheet, own) {
        (Some(name), _) => sheet_by_name(register, name)?,
        (None, Some(own)) if wish.paper.is_none() => own,
        _ => settings.sheet_for(kind, wish.paper)?,
    };
    let is_own = |before: &PrintedOn| before.sheet.as_ref().is_some_and(|own| own.name == sheet.name);
    let before = before.filter(is_own);
    Ok((sheet, before))
}

/// Where labels that are printed again come out otherwise than they were.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Otherwise {
    /// On one sheet, where they were on others.
    Sheets {
        /// Those that they were on.
        were: Vec<String>,
        /// That on which they go.
        now: String,
    },
    /// One of each, where some were in several copies.
    Fewer,
}

impl PrintedOn {
    /// What comes out otherwise with these options, and was not asked for.
    #[must_use]
    pub fn otherwise(&self, wish: &PrintWish, options: &PrintOptions) -> Vec<Otherwise> {
        let (were, now): (Vec<String>, String) = (self.sheets.iter().cloned().collect(), options.sheet.name.clone());
        let is_chosen = wish.sheet.is_some() || wish.paper.is_some();
        let sheets = (were != [now.clone()] && !is_chosen).then_some(Otherwise::Sheets { were, now });
        let fewer = (self.copies.is_none() && wish.copies.is_none()).then_some(Otherwise::Fewer);
        sheets.into_iter().chain(fewer).collect()
    }
}
