//! Amounts and dates as options of commands.

use jiff::civil::Date;

use super::outcome::CliError;
use crate::{
    exchange::parse_date,
    register::Edit,
    unit::{Currency, Money, RoomError},
};

/// Takes what is known away.
const NONE: &str = "none";

/// The amount of an option that may be left out.
pub(super) fn amount(option: &'static str, text: Option<&str>, currency: &Currency) -> Result<Option<Money>, CliError> {
    text.map(|text| given_amount(option, text, currency)).transpose()
}

/// The amount of an option.
pub(super) fn given_amount(option: &'static str, text: &str, currency: &Currency) -> Result<Money, CliError> {
    currency.parse(text).map_err(|source| CliError::Amount { option, source })
}

/// The day of an option that may be left out.
pub(super) fn date(option: &'static str, text: Option<&str>) -> Result<Option<Date>, CliError> {
    text.map(|text| given_date(option, text)).transpose()
}

/// The day of an option.
pub(super) fn given_date(option: &'static str, text: &str) -> Result<Date, CliError> {
    parse_date(text).map_err(|source| CliError::Date { option, source })
}

/// A value that `none` takes away.
pub(super) fn change<T, E>(text: Option<&str>, read: impl FnOnce(&str) -> Result<T, E>) -> Result<Edit<T>, E> {
    match text.map(str::trim) {
        None => Ok(Edit::Keep),
        Some(NONE | "") => Ok(Edit::Clear),
        Some(text) => read(text).map(Edit::Set),
    }
}

/// The same where an empty text is a slip, as of a shell's variable that is not set.
pub(super) fn change_given<T, E>(text: Option<&str>, read: impl FnOnce(&str) -> Result<T, E>) -> Result<Edit<T>, E> {
    match text.map(str::trim) {
        Some("") => read("").map(Edit::Set),
        text => change(text, read),
    }
}

/// The volume, weight or measures of an option that may be left out.
pub(super) fn given<T>(
    option: &'static str,
    text: Option<&str>,
    parse: impl FnOnce(&str) -> Result<T, RoomError>,
) -> Result<Option<T>, CliError> {
    text.map(|text| parse(text).map_err(|source| CliError::Room { option, source })).transpose()
}
