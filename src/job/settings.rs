//! What the user set once: the paper, the printer's resolution, the currency.

use crate::{
    register::{Register, RegisterError},
    sheet::Paper,
    unit::{Currency, CurrencyError, Dpi, UnitError},
};

/// The settings, with what holds when nothing is set: A4, 300 dpi, no currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The paper of the default sheets.
    pub paper: Paper,
    /// The printer's resolution.
    pub dpi: Dpi,
    /// The currency of all amounts.
    pub currency: Currency,
}

/// The names of the settings, and what each is.
pub const SETTINGS: [(&str, &str); 3] = [
    ("paper", "the paper of the default label sheets: a4 or letter"),
    ("dpi", "the printer's resolution in dots per inch, such as 203, 300 or 600"),
    ("currency", "the currency of all amounts, by its three letters, such as EUR"),
];

/// Why a setting was refused.
#[derive(Debug, thiserror::Error)]
pub enum SettingError {
    /// No such setting.
    #[error("there is no setting `{0}`; there are paper, dpi and currency")]
    Unknown(String),
    /// No such paper.
    #[error("`{0}` is no paper; there are a4 and letter")]
    Paper(String),
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

impl Settings {
    /// The settings of a register. A value that makes no sense any more counts as not set.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn of(register: &Register) -> Result<Self, RegisterError> {
        let default = Self::default();
        let value = |name| register.setting(name);
        Ok(Self {
            paper: value("paper")?.and_then(|text| Paper::by_name(&text)).unwrap_or(default.paper),
            dpi: value("dpi")?.and_then(|text| text.parse().ok()).unwrap_or(default.dpi),
            currency: value("currency")?.and_then(|text| Currency::new(&text).ok()).unwrap_or(default.currency),
        })
    }

    /// The values as text, in the order of [`SETTINGS`].
    #[must_use]
    pub fn values(&self) -> [String; 3] {
        let currency = if self.currency == Currency::default() { "none" } else { self.currency.code() };
        [self.paper.name().to_owned(), self.dpi.get().to_string(), currency.to_owned()]
    }
}

impl Default for Settings {
    fn default() -> Self {
        Self { paper: Paper::A4, dpi: Dpi::DEFAULT, currency: Currency::default() }
    }
}

/// Changes a setting and gives its value as it was understood.
///
/// # Errors
/// [`SettingError`]; nothing is changed then.
pub fn set(register: &mut Register, name: &str, value: &str) -> Result<String, SettingError> {
    let understood = match name {
        "paper" => {
            let paper = Paper::by_name(value).ok_or_else(|| SettingError::Paper(value.to_owned()))?;
            paper.name().to_owned()
        }
        "dpi" => value.parse::<Dpi>()?.get().to_string(),
        "currency" => currency(register, value)?,
        _ => return Err(SettingError::Unknown(name.to_owned())),
    };
    register.set_setting(name, &understood)?;
    Ok(understood)
}

fn currency(register: &Register, value: &str) -> Result<String, SettingError> {
    let (wanted, present) = (Currency::new(value)?, Settings::of(register)?.currency);
    if wanted.digits() != present.digits() && register.has_amounts()? {
        return Err(SettingError::CurrencyInUse { code: wanted.code().to_owned(), digits: present.digits() });
    }
    Ok(wanted.code().to_owned())
}
