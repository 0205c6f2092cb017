//! What the user set once: paper and sheet, the printer's resolution, the currency.

use super::Sheets;
use crate::{
    register::{Register, RegisterError, RunKind},
    sheet::{Paper, Sheet, SheetError, find_sheet},
    unit::{Currency, CurrencyError, Dpi, UnitError},
};

/// The settings, with what holds when nothing is set: A4 and its usual sheets, 300 dpi, no currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The paper of the usual sheets.
    pub paper: Paper,
    /// The sheet for tags and signs, instead of the usual ones.
    pub sheet: Option<Sheet>,
    /// The printer's resolution.
    pub dpi: Dpi,
    /// The currency of all amounts.
    pub currency: Currency,
    /// Whether a backup is made each day.
    pub backups: bool,
}

/// The names of the settings, and what each is.
pub const SETTINGS: [(&str, &str); 5] = [
    ("paper", "the paper of the usual label sheets: a4 or letter"),
    ("sheet", "the label sheet or roll for tags and signs, instead of the usual ones"),
    ("dpi", "the printer's resolution in dots per inch, such as 203, 300 or 600"),
    ("currency", "the currency of all amounts, by its three letters, such as EUR"),
    ("backups", "whether a backup is made each day beside the register: on or off"),
];

/// Takes a setting back.
const NONE: &str = "none";

/// Why a setting was refused.
#[derive(Debug, thiserror::Error)]
pub enum SettingError {
    /// No such setting.
    #[error("there is no setting `{0}`; there are paper, sheet, dpi, currency and backups")]
    Unknown(String),
    /// No such paper.
    #[error("`{0}` is no paper; there are a4 and letter")]
    Paper(String),
    /// Neither on nor off.
    #[error("`{0}` is neither on nor off")]
    Switch(String),
    /// No such sheet.
    #[error(transparent)]
    Sheet(#[from] SheetError),
    /// No such resolution.
    #[error(transparent)]
    Resolution(#[from] UnitError),
    /// No such currency.
    #[error(transparent)]
    Currency(#[from] CurrencyError),
    /// Amounts are there with another number of decimals.
    #[error(
        "amounts are in {digits} decimals already, and `{code}` has another number of them; start another register"
    )]
    CurrencyInUse {
        /// The currency that was asked for.
        code: String,
        /// Minor digits of the present one.
        digits: usize,
    },
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

impl Default for Settings {
    fn default() -> Self {
        Self { paper: Paper::A4, sheet: None, dpi: Dpi::DEFAULT, currency: Currency::default(), backups: true }
    }
}

impl Settings {
    /// The settings of a register. A value that makes no sense any more counts as not set.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn of(register: &Register) -> Result<Self, RegisterError> {
        let (mut settings, sheets) = (Self::default(), Sheets::of(register)?);
        for (name, _) in SETTINGS {
            if let Some(value) = register.setting(name)? {
                settings = settings.clone().with(name, &value, &sheets).unwrap_or(settings);
            }
        }
        Ok(settings)
    }

    /// The sheet when none is named: the one that is set, unless a paper is asked for, else the usual one.
    ///
    /// # Errors
    /// [`SheetError`] should the usual sheet be missing from the table.
    pub fn sheet_for(&self, kind: RunKind, paper: Option<Paper>) -> Result<Sheet, SheetError> {
        if let (Some(sheet), None) = (&self.sheet, paper) {
            return Ok(sheet.clone());
        }
        let usual = match (kind, paper.unwrap_or(self.paper)) {
            (RunKind::Tags, Paper::Letter) => "letter-3x10",
            (RunKind::Areas, Paper::Letter) => "letter-1x2",
            (RunKind::Contents, Paper::Letter) => "letter-1x1",
            (_, Paper::Letter) => "letter-2x3",
            (RunKind::Tags, _) => "a4-5x13",
            (RunKind::Areas, _) => "a4-1x2",
            (RunKind::Contents, _) => "a4-1x1",
            _ => "a4-2x4",
        };
        find_sheet(usual).cloned()
    }

    /// The values as text, in the order of [`SETTINGS`].
    #[must_use]
    pub fn values(&self) -> [Option<String>; 5] {
        let currency = Some(&self.currency).filter(|currency| !currency.is_none());
        [
            Some(self.paper.name().to_owned()),
            self.sheet.as_ref().map(|sheet| sheet.name.clone()),
            Some(self.dpi.get().to_string()),
            currency.map(|currency| currency.code().to_owned()),
            Some(if self.backups { "on" } else { "off" }.to_owned()),
        ]
    }

    /// The settings with one of them changed. A sheet on another paper goes when the paper changes.
    fn with(mut self, name: &str, value: &str, sheets: &Sheets) -> Result<Self, SettingError> {
        match name {
            "paper" => {
                self.paper = Paper::by_name(value).ok_or_else(|| SettingError::Paper(value.to_owned()))?;
                self.sheet = self.sheet.filter(|sheet| [self.paper, Paper::Roll].contains(&sheet.paper));
            }
            "sheet" if value == NONE => self.sheet = None,
            "sheet" => self.sheet = Some(sheets.find(value)?),
            "dpi" => self.dpi = value.parse()?,
            "currency" if value == NONE => self.currency = Currency::default(),
            "currency" => self.currency = Currency::new(value)?,
            "backups" => self.backups = switch(value)?,
            _ => return Err(SettingError::Unknown(name.to_owned())),
        }
        Ok(self)
    }
}

fn switch(value: &str) -> Result<bool, SettingError> {
    match value {
        "on" => Ok(true),
        "off" => Ok(false),
        other => Err(SettingError::Switch(other.to_owned())),
    }
}

/// Whether a setting of this name can have this value, with these sheets and whatever else the register holds.
///
/// # Errors
/// [`SettingError`].
pub fn check(sheets: &Sheets, name: &str, value: &str) -> Result<(), SettingError> {
    Settings::default().with(name, value, sheets).map(drop)
}

/// Changes a setting and gives all of them as they are then.
///
/// # Errors
/// [`SettingError`]; nothing is changed then.
pub fn set(register: &mut Register, name: &str, value: &str) -> Result<Settings, SettingError> {
    set_all(register, &[(name, value)])
}

/// Changes settings in this order, all of them or none, and gives all of them as they are then.
///
/// # Errors
/// [`SettingError`]; nothing is changed then.
pub fn set_all(register: &mut Register, values: &[(&str, &str)]) -> Result<Settings, SettingError> {
    let (before, sheets) = (Settings::of(register)?, Sheets::of(register)?);
    let after =
        values.iter().try_fold(before.clone(), |settings, (name, value)| settings.with(name, value, &sheets))?;
    if before.currency.digits() != after.currency.digits() && register.has_amounts()? {
        let code = after.currency.code().to_owned();
        return Err(SettingError::CurrencyInUse { code, digits: before.currency.digits() });
    }
    let values = SETTINGS.iter().zip(before.values()).zip(after.values());
    let changed: Vec<(&str, String)> = values
        .filter(|((_, old), new)| old != new)
        .map(|(((name, _), _), new)| (*name, new.unwrap_or_else(|| NONE.into())))
        .collect();
    register.set_settings(&changed)?;
    Ok(after)
}
