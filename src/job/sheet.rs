//! The sheets that a user can name: built in, own, and plain paper to be cut.

use crate::{
    register::{LastSheet, OwnSheet, Register, RegisterError},
    sheet::{Paper, Sheet, SheetError, SheetKind, cut_sheet, sheets},
    unit::Mm,
};

/// Why a sheet could not be had.
#[derive(Debug, thiserror::Error)]
pub enum SheetNameError {
    /// There is none.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// There was one.
    #[error(
        "the sheet `{0}` was removed; `stowmark sheet add {0}` with its measures brings it back, or name another with --sheet"
    )]
    Removed(String),
    /// A built-in sheet can't be removed.
    #[error("`{0}` is no sheet of your own; only those can be removed")]
    NotOwn(String),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

/// The sheets that can be named with a register, or without one.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sheets {
    own: Vec<Sheet>,
}

impl Sheets {
    /// With the own sheets of a register.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn of(register: &Register) -> Result<Self, RegisterError> {
        let own = register.own_sheets()?.into_iter().map(from_register).collect::<Result<_, _>>()?;
        Ok(Self { own })
    }

    /// All sheets that have a name of their own: built in and own.
    pub fn all(&self) -> impl Iterator<Item = &Sheet> {
        sheets().iter().chain(&self.own)
    }

    /// The sheet of this name, in any capitals; `cut-a4-90x55` is made up on the spot.
    ///
    /// # Errors
    /// [`SheetError`].
    pub fn find(&self, name: &str) -> Result<Sheet, SheetError> {
        let lower = name.trim().to_ascii_lowercase();
        if lower.starts_with("cut-") {
            return cut_sheet(name);
        }
        let unknown = || SheetError::unknown(name, self.all().map(|sheet| sheet.name.as_str()));
        self.all().find(|sheet| sheet.name == lower).cloned().ok_or_else(unknown)
    }
}

fn from_register(own: OwnSheet) -> Result<Sheet, RegisterError> {
    let papers = [Paper::A4, Paper::Letter, Paper::Roll];
    let paper = papers.into_iter().find(|paper| paper.name() == own.paper);
    Ok(Sheet {
        kind: SheetKind::Own,
        paper: paper.ok_or(RegisterError::Damaged(own.paper))?,
        columns: own.columns,
        rows: own.rows,
        label_width: Mm(own.label.0),
        label_height: Mm(own.label.1),
        left: Mm(own.corner.0),
        top: Mm(own.corner.1),
        pitch_x: Mm(own.pitch.0),
        pitch_y: Mm(own.pitch.1),
        name: own.name,
    })
}

/// The sheet of this name.
///
/// # Errors
/// [`SheetNameError`], which tells a sheet that was removed from one that never was.
pub fn sheet_by_name(register: &Register, name: &str) -> Result<Sheet, SheetNameError> {
    match Sheets::of(register)?.find(name) {
        Err(SheetError::Unknown { .. }) if register.has_printed_on(name)? => {
            Err(SheetNameError::Removed(name.to_owned()))
        }
        found => Ok(found?),
    }
}

/// Adds a sheet of the user's own.
///
/// # Errors
/// [`RegisterError::SheetExists`] when there is one of that name.
pub fn add_sheet(register: &mut Register, sheet: &Sheet) -> Result<(), RegisterError> {
    register.add_sheet(&OwnSheet {
        name: sheet.name.clone(),
        paper: sheet.paper.name().to_owned(),
        columns: sheet.columns,
        rows: sheet.rows,
        label: (sheet.label_width.0, sheet.label_height.0),
        corner: (sheet.left.0, sheet.top.0),
        pitch: (sheet.pitch_x.0, sheet.pitch_y.0),
    })
}

/// Removes a sheet of the user's own; what was printed on it stays on record. Gives it, and whether it
/// was the one that is set: the usual ones hold again then.
///
/// # Errors
/// [`SheetNameError`] when there is no own sheet of that name.
pub fn remove_sheet(register: &mut Register, name: &str) -> Result<(Sheet, bool), SheetNameError> {
    let sheet = Sheets::of(register)?.find(name)?;
    if sheet.kind != SheetKind::Own || !register.remove_sheet(&sheet.name)? {
        return Err(SheetNameError::NotOwn(name.to_owned()));
    }
    let was_set = register.setting("sheet")?.is_some_and(|set| set == sheet.name);
    if was_set {
        register.set_settings(&[("sheet", "none".into())])?;
    }
    Ok((sheet, was_set))
}

/// The slots of the sheet in use that are spent: `None` when nothing is remembered of it or the last
/// one is full, so that a fresh one comes next.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn sheet_in_use(register: &Register, sheet: &Sheet) -> Result<Option<LastSheet>, RegisterError> {
    let last = if sheet.remembers_slots() { register.last_sheet(&sheet.name)? } else { None };
    Ok(last.filter(|last| (1..=sheet.slots()).any(|slot| !last.spent.contains(&slot))))
}
