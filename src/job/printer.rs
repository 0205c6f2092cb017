//! Printer profiles: added, measured, chosen.
//!
//! Start with [`printer_by_name`] for what to print on, and [`change_printer`] for what was measured.

use crate::{
    register::{PlaceRecord, PrinterRecord, Register, RegisterError},
    sheet::{Correction, Device, ReadingError, Readings, USUAL_EDGE},
    unit::{Dpi, Mm, Point},
};

use super::send::{SendError, check_queue_name};

/// A wider edge would leave no room on usual labels.
const MOST_EDGE: Mm = Mm(25.0);
const LONGEST_NAME: usize = 40;

/// Why a printer was refused. Nothing has been changed then.
#[derive(Debug, thiserror::Error)]
pub enum PrinterError {
    /// A name that can't be typed in one word.
    #[error("`{0}` is no name for a printer; take one word of letters, digits, `-`, `_` and `.`, at most 40 of them")]
    Name(String),
    /// The name is taken.
    #[error("there is a printer `{0}` already; `stowmark printer set` changes it")]
    Exists(String),
    /// No such printer.
    #[error("there is no printer `{name}`; {}", known_text(.known))]
    Unknown {
        /// What was asked for.
        name: String,
        /// The names that there are.
        known: Vec<String>,
    },
    /// An edge that no printer leaves.
    #[error("an edge of {0} mm is none; give what stays white along the paper's edge, 0 to 25 mm, usually about 4")]
    Edge(f64),
    /// Nothing to refine.
    #[error("nothing was measured for `{0}` yet, so there is nothing to refine; give the readings without --refine")]
    NothingToRefine(String),
    /// Readings that make no sense.
    #[error(transparent)]
    Reading(#[from] ReadingError),
    /// A queue's name that can't be one.
    #[error(transparent)]
    Queue(#[from] SendError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn known_text(known: &[String]) -> String {
    match known {
        [] => "`stowmark printer add NAME --dpi 600` adds one".into(),
        known => format!("there are {}", known.join(", ")),
    }
}

/// A printer profile.
#[derive(Debug, Clone, PartialEq)]
pub struct Printer {
    /// Its name.
    pub name: String,
    /// Its resolution.
    pub dpi: Dpi,
    /// Its errors of place.
    pub correction: Correction,
    /// Whether symbols are drawn narrower by whole dots, since its ink spreads.
    pub thinner: bool,
    /// What it leaves white along the paper's edges, where that was said.
    pub edge: Option<Mm>,
    /// The print queue of the system that leads to it.
    pub queue: Option<String>,
    /// Whether it is meant when none is named.
    pub is_default: bool,
}

impl Printer {
    /// What pages are laid out and drawn for.
    #[must_use]
    pub fn device(&self) -> Device {
        Device {
            dpi: self.dpi,
            correction: self.correction,
            bar_reduction: self.thinner,
            edge: self.edge.unwrap_or(USUAL_EDGE),
        }
    }

    fn record(&self) -> PrinterRecord {
        let Correction { shift, scale_x, scale_y, skew } = self.correction;
        PrinterRecord {
            name: self.name.clone(),
            dpi: self.dpi,
            place: PlaceRecord { shift_x: shift.x.0, shift_y: shift.y.0, scale_x, scale_y, skew },
            thinner: self.thinner,
            edge: self.edge,
            queue: self.queue.clone(),
            is_default: self.is_default,
        }
    }
}

impl From<PrinterRecord> for Printer {
    fn from(record: PrinterRecord) -> Self {
        let PlaceRecord { shift_x, shift_y, scale_x, scale_y, skew } = record.place;
        let shift = Point { x: Mm(shift_x), y: Mm(shift_y) };
        Self {
            name: record.name,
            dpi: record.dpi,
            correction: Correction { shift, scale_x, scale_y, skew },
            thinner: record.thinner,
            edge: record.edge,
            queue: record.queue,
            is_default: record.is_default,
        }
    }
}

/// What to print on: the resolution asked for, else the printer's, else that of the settings.
#[must_use]
pub fn device(printer: Option<&Printer>, asked: Option<Dpi>, setting: Dpi) -> Device {
    let device = printer.map_or_else(|| Device::from(setting), Printer::device);
    Device { dpi: asked.unwrap_or(device.dpi), ..device }
}

/// All printers by name.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn printers(register: &Register) -> Result<Vec<Printer>, RegisterError> {
    Ok(register.printers()?.into_iter().map(Printer::from).collect())
}

/// The printer of this name; without a name the default one, if there is any.
///
/// # Errors
/// [`PrinterError::Unknown`] for a name that no printer has.
pub fn printer_by_name(register: &Register, name: Option<&str>) -> Result<Option<Printer>, PrinterError> {
    match name {
        None => Ok(register.default_printer()?.map(Printer::from)),
        Some(name) => known(register, name).map(Some),
    }
}

fn known(register: &Register, name: &str) -> Result<Printer, PrinterError> {
    if let Some(record) = register.printer(name.trim())? {
        return Ok(record.into());
    }
    let known = register.printers()?.into_iter().map(|printer| printer.name).collect();
    Err(PrinterError::Unknown { name: name.to_owned(), known })
}

/// Adds a printer that prints true until it is measured.
///
/// # Errors
/// [`PrinterError`] for a name that is none or taken, and for what [`PrinterChange`] refuses.
pub fn add_printer(
    register: &mut Register,
    name: &str,
    dpi: Dpi,
    change: &PrinterChange,
) -> Result<Printer, PrinterError> {
    let name = checked_name(name)?;
    if let Some(taken) = register.printer(&name)? {
        return Err(PrinterError::Exists(taken.name));
    }
    let correction = Correction::NONE;
    let printer = Printer { name, dpi, correction, thinner: false, edge: None, queue: None, is_default: false };
    let printer = change.applied(printer)?;
    register.put_printer(&printer.record())?;
    Ok(printer)
}

fn checked_name(name: &str) -> Result<String, PrinterError> {
    let name = name.trim();
    let is_plain = name.chars().all(|c| c.is_alphanumeric() || "-_.".contains(c));
    let starts = name.chars().next().is_some_and(char::is_alphanumeric);
    let fits = name.chars().count() <= LONGEST_NAME;
    if is_plain && starts && fits { Ok(name.to_owned()) } else { Err(PrinterError::Name(name.to_owned())) }
}

/// What to change of a printer; what is `None` stays.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct PrinterChange {
    /// Its resolution.
    pub dpi: Option<Dpi>,
    /// Its errors of place.
    pub place: Option<PlaceChange>,
    /// Whether symbols are drawn narrower for it.
    pub thinner: Option<bool>,
    /// What it leaves white along the paper's edges.
    pub edge: Option<Mm>,
    /// Its print queue; an empty name takes it back.
    pub queue: Option<String>,
    /// Make it the default.
    pub is_default: bool,
}

/// What is said of a printer's errors of place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PlaceChange {
    /// It prints true.
    Clear,
    /// This was measured.
    Measured {
        /// On an alignment page.
        readings: Readings,
        /// The page was corrected by what was measured before.
        refine: bool,
        /// The printer does fit pages to the paper, and that can't be switched off.
        fits_pages: bool,
    },
}

impl PrinterChange {
    fn applied(&self, printer: Printer) -> Result<Printer, PrinterError> {
        if let Some(Mm(edge)) = self.edge.filter(|edge| !(Mm::ZERO..=MOST_EDGE).contains(edge)) {
            return Err(PrinterError::Edge(edge));
        }
        self.queue.as_deref().filter(|queue| !queue.is_empty()).map_or(Ok(()), check_queue_name)?;
        let correction = self.place.map_or(Ok(printer.correction), |place| place.applied(&printer))?;
        Ok(Printer {
            dpi: self.dpi.unwrap_or(printer.dpi),
            correction,
            thinner: self.thinner.unwrap_or(printer.thinner),
            edge: self.edge.or(printer.edge),
            queue: self.queue.clone().or(printer.queue).filter(|queue| !queue.is_empty()),
            is_default: self.is_default || printer.is_default,
            ..printer
        })
    }
}

impl PlaceChange {
    fn applied(self, printer: &Printer) -> Result<Correction, PrinterError> {
        match self {
            Self::Clear => Ok(Correction::NONE),
            Self::Measured { refine: true, .. } if printer.correction == Correction::NONE => {
                Err(PrinterError::NothingToRefine(printer.name.clone()))
            }
            Self::Measured { readings, refine, fits_pages } => {
                let found = readings.correction(fits_pages)?;
                Ok(if refine { printer.correction.refined(&found) } else { found })
            }
        }
    }
}

/// Changes a printer and gives it as it is then.
///
/// # Errors
/// [`PrinterError`]; nothing is changed then.
pub fn change_printer(register: &mut Register, name: &str, change: &PrinterChange) -> Result<Printer, PrinterError> {
    let printer = change.applied(known(register, name)?)?;
    register.put_printer(&printer.record())?;
    Ok(printer)
}

/// Removes a printer and gives what it was.
///
/// # Errors
/// [`PrinterError::Unknown`] for a name that no printer has.
pub fn remove_printer(register: &mut Register, name: &str) -> Result<Printer, PrinterError> {
    let printer = known(register, name)?;
    register.remove_printer(&printer.name)?;
    Ok(printer)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dpi(dots: f64) -> Dpi {
        Dpi::new(dots).unwrap()
    }

    /// The issue: a printer's resolution goes before the setting, one that is asked for before both.
    #[test]
    fn the_resolution_asked_for_wins() {
        let mut register = Register::in_memory().unwrap();
        let laser = add_printer(&mut register, "laser", dpi(600.0), &PrinterChange::default()).unwrap();
        let cases = [
            (None, None, 300.0),
            (Some(&laser), None, 600.0),
            (Some(&laser), Some(dpi(203.0)), 203.0),
            (None, Some(dpi(203.0)), 203.0),
        ];
        for (printer, asked, expected) in cases {
            assert_eq!(device(printer, asked, Dpi::DEFAULT).dpi, dpi(expected));
        }
    }

    #[test]
    fn only_one_printer_is_the_default() {
        let mut register = Register::in_memory().unwrap();
        let chosen = PrinterChange { is_default: true, ..PrinterChange::default() };
        for name in ["laser", "ink"] {
            add_printer(&mut register, name, dpi(600.0), &chosen).unwrap();
            assert_eq!(printer_by_name(&register, None).unwrap().unwrap().name, name);
        }
        assert_eq!(printers(&register).unwrap().iter().filter(|printer| printer.is_default).count(), 1);
        remove_printer(&mut register, "INK").unwrap();
        assert_eq!(printer_by_name(&register, None).unwrap(), None);
    }
}
