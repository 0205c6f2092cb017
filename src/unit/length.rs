//! Lengths on paper: millimetres, and whole dots of a printer.

use std::{
    iter::Sum,
    ops::{Add, Mul, Sub},
};

use serde::Serialize;

const MM_PER_INCH: f64 = 25.4;
const PT_PER_INCH: f64 = 72.0;
/// Float noise of a division that should come out whole, in dots.
const WHOLE: f64 = 1e-6;

/// Why a length or a resolution was refused.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum UnitError {
    /// A resolution outside of what printers have.
    #[error("`{0}` is no printer resolution; give dots per inch from 100 to 2400, such as 203, 300 or 600")]
    Resolution(String),
    /// A size that is not `WIDTHxHEIGHT`.
    #[error("`{0}` is no size; write it as 63.5x38.1 (mm) or 2.625x1in")]
    Size(String),
    /// A distance that nobody reads a sign from.
    #[error("`{0}` is no distance to read from; write it as 3m, 250cm or 10ft, from 0.1 to 30 m")]
    Distance(String),
    /// A length in millimetres that is no number.
    #[error("`{0}` is no length; write it in millimetres, as 12.4")]
    Millimetres(String),
    /// A length in centimetres or inches that no room has.
    #[error("`{0}` is no length; write it in centimetres, as 80, or as 32in; at most 1000 cm")]
    Centimetres(String),
    /// A length that is not a number from 0.
    #[error("`{0}` is no length; write it as 13.5 (mm) or 0.5in")]
    Length(String),
}

/// A length in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Mm(pub f64);

impl Mm {
    /// Nothing long.
    pub const ZERO: Self = Self(0.0);

    /// Reads a distance of reading: `3m`, `3` (metres), `250cm`, `10ft`.
    ///
    /// # Errors
    /// [`UnitError::Distance`] when it is none, below 0.1 m or above 30 m.
    pub fn parse_distance(text: &str) -> Result<Self, UnitError> {
        let lower = text.trim().to_ascii_lowercase();
        let units = [("cm", 10.0), ("mm", 1.0), ("ft", MM_PER_INCH * 12.0), ("m", 1000.0), ("", 1000.0)];
        let read = units.into_iter().find_map(|(unit, mm)| Some((lower.strip_suffix(unit)?, mm)));
        let number = read.and_then(|(number, mm)| Some(number.trim().replace(',', ".").parse::<f64>().ok()? * mm));
        let length = number.filter(|mm| (100.0..=30_000.0).contains(mm)).map(Self);
        length.ok_or_else(|| UnitError::Distance(text.to_owned()))
    }

    /// From inches of 25.4 mm.
    #[must_use]
    pub fn from_inches(inches: f64) -> Self {
        Self(inches * MM_PER_INCH)
    }

    /// Reads `13.5` as millimetres and `0.5in` as inches.
    ///
    /// # Errors
    /// [`UnitError::Length`] when it is neither, or below zero.
    pub fn parse(text: &str) -> Result<Self, UnitError> {
        let lower = text.trim().to_ascii_lowercase();
        let (number, to_mm): (&str, fn(f64) -> Self) = match lower.strip_suffix("in") {
            Some(inches) => (inches, Self::from_inches),
            None => (lower.strip_suffix("mm").unwrap_or(&lower), Self),
        };
        let length = number.trim().parse().ok().filter(|length| (0.0..2000.0).contains(length));
        length.map(to_mm).ok_or_else(|| UnitError::Length(text.to_owned()))
    }

    /// In PDF points, 72 to the inch.
    #[must_use]
    pub fn to_pt(self) -> f64 {
        self.0 * PT_PER_INCH / MM_PER_INCH
    }

    /// To the hundredth of a millimetre, for people.
    #[must_use]
    pub fn rounded(self) -> Self {
        Self((self.0 * 100.0).round() / 100.0)
    }

    /// The larger of two lengths.
    #[must_use]
    pub fn max(self, other: Self) -> Self {
        Self(self.0.max(other.0))
    }

    /// The smaller of two lengths.
    #[must_use]
    pub fn min(self, other: Self) -> Self {
        Self(self.0.min(other.0))
    }
}

impl Serialize for Mm {
    /// To the thousandth of a millimetre: inches would trail their float noise along.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64((self.0 * 1000.0).round() / 1000.0)
    }
}

impl Add for Mm {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Mm {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<f64> for Mm {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self(self.0 * factor)
    }
}

impl Sum for Mm {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

/// Reads `12.4`, `12,4` or `12.4 mm` as millimetres; whether a length makes sense is for the caller to say.
///
/// # Errors
/// [`UnitError::Length`] when it is no number.
pub fn parse_mm(text: &str) -> Result<Mm, UnitError> {
    let plain = text.trim().trim_end_matches("mm").trim_end().replace(',', ".");
    let is_plain = plain.bytes().all(|byte| byte.is_ascii_digit() || b"+-.".contains(&byte));
    let number = plain.parse().ok().filter(|number: &f64| is_plain && number.abs() < 2000.0);
    number.map(Mm).ok_or_else(|| UnitError::Millimetres(text.to_owned()))
}

/// Reads `80`, `80 cm`, `1.2 m` and `32in`; a bare number is centimetres. From nothing to 10 m.
///
/// # Errors
/// [`UnitError::Centimetres`].
pub fn parse_cm(text: &str) -> Result<Mm, UnitError> {
    let lower = text.trim().to_ascii_lowercase().replace(',', ".");
    let units =
        [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("inches", MM_PER_INCH), ("in", MM_PER_INCH), ("\"", MM_PER_INCH)];
    let with_unit = units.into_iter().find_map(|(unit, mm)| Some((lower.strip_suffix(unit)?.trim_end(), mm)));
    let (digits, mm) = with_unit.unwrap_or((&lower, 10.0));
    let is_plain = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let length = digits.parse().ok().filter(|_| is_plain).map(|number: f64| number * mm);
    length.filter(|mm| *mm <= 10_000.0).map(Mm).ok_or_else(|| UnitError::Centimetres(text.trim().to_owned()))
}

/// A place in millimetres, counted from the top left corner.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: Mm,
    /// Downwards.
    pub y: Mm,
}

/// Width and height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Across.
    pub width: Mm,
    /// From top to bottom.
    pub height: Mm,
}

impl Size {
    /// A size in millimetres.
    #[must_use]
    pub fn new(width: f64, height: f64) -> Self {
        Self { width: Mm(width), height: Mm(height) }
    }

    /// Reads `63.5x38.1` as millimetres and `2.625x1in` as inches.
    ///
    /// # Errors
    /// [`UnitError::Size`] when it is neither, or when a side is not above zero.
    pub fn parse(text: &str) -> Result<Self, UnitError> {
        let wrong = || UnitError::Size(text.to_owned());
        let lower = text.trim().to_ascii_lowercase();
        let (sides, to_mm): (&str, fn(f64) -> Mm) = match lower.strip_suffix("in") {
            Some(inches) => (inches, Mm::from_inches),
            None => (lower.strip_suffix("mm").unwrap_or(&lower), Mm),
        };
        let (width, height) = sides.split_once(['x', '×']).ok_or_else(wrong)?;
        let side = |text: &str| text.trim().parse().ok().filter(|side| *side > 0.0 && *side < 2000.0);
        match (side(width), side(height)) {
            (Some(width), Some(height)) => Ok(Self { width: to_mm(width), height: to_mm(height) }),
            _ => Err(wrong()),
        }
    }
}

impl std::fmt::Display for Size {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} x {} mm", self.width.rounded().0, self.height.rounded().0)
    }
}

/// Whole dots of a printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Dots(pub u32);

/// Dots per inch of a printer, from 100 to 2400; not always whole (203.2).
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(transparent)]
pub struct Dpi(f64);

impl Dpi {
    /// What most laser printers manage at least.
    pub const DEFAULT: Self = Self(300.0);

    /// A resolution in dots per inch.
    ///
    /// # Errors
    /// [`UnitError::Resolution`] below 100 or above 2400.
    pub fn new(dots: f64) -> Result<Self, UnitError> {
        if (100.0..=2400.0).contains(&dots) { Ok(Self(dots)) } else { Err(UnitError::Resolution(dots.to_string())) }
    }

    /// Dots per inch.
    #[must_use]
    pub fn get(self) -> f64 {
        self.0
    }

    /// The side of one dot.
    #[must_use]
    pub fn dot(self) -> Mm {
        Mm(MM_PER_INCH / self.0)
    }

    /// So many dots as a length.
    #[must_use]
    pub fn length(self, dots: Dots) -> Mm {
        self.dot() * f64::from(dots.0)
    }

    /// The whole dots that a length holds.
    #[must_use]
    pub fn dots_within(self, length: Mm) -> Dots {
        Dots(whole((length.0 / self.dot().0 + WHOLE).floor()))
    }

    /// The whole dots that it takes to be at least this long.
    #[must_use]
    pub fn dots_covering(self, length: Mm) -> Dots {
        Dots(whole((length.0 / self.dot().0 - WHOLE).ceil()))
    }

    /// The nearest place on the dot grid.
    #[must_use]
    pub fn snap(self, length: Mm) -> Mm {
        self.dot() * (length.0 / self.dot().0).round()
    }
}

impl std::str::FromStr for Dpi {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        let wrong = || UnitError::Resolution(text.to_owned());
        text.trim().parse().map_err(|_| wrong()).and_then(|dots| Self::new(dots).map_err(|_| wrong()))
    }
}

impl std::fmt::Display for Dpi {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} dpi", self.0)
    }
}

/// A whole, non-negative float as a count; paper is never billions of dots wide.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked by the clamp")]
fn whole(dots: f64) -> u32 {
    dots.clamp(0.0, f64::from(u32::MAX)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_of_rooms_are_centimetres_or_inches() {
        for (text, mm) in
            [("80", 800.0), ("80 cm", 800.0), ("16in", 406.4), ("10\"", 254.0), ("1,2 m", 1200.0), ("0", 0.0)]
        {
            assert!((parse_cm(text).unwrap().0 - mm).abs() < 1e-9, "{text}");
        }
        for wrong in ["", "cm", "-1", "1e2", "nan", "1001", "4 ft", "1.2.3"] {
            assert_eq!(parse_cm(wrong), Err(UnitError::Centimetres(wrong.into())), "{wrong}");
        }
    }

    #[test]
    fn a_dot_at_203_2_dpi_is_an_eighth_of_a_millimetre() {
        let dpi = Dpi::new(203.2).unwrap();
        assert_eq!(dpi.dots_covering(Mm(0.25)), Dots(2));
        assert_eq!(dpi.dots_within(Mm(0.25)), Dots(2));
        assert_eq!(dpi.dots_covering(Mm(0.26)), Dots(3));
    }

    #[test]
    fn sizes_are_read_in_mm_and_inches() {
        assert_eq!(Size::parse("63.5x38.1"), Ok(Size::new(63.5, 38.1)));
        assert_eq!(Size::parse("1 x 2 in"), Ok(Size::new(25.4, 50.8)));
        for wrong in ["", "63.5", "x", "0x4", "-1x4", "axb", "1x2x3", "nanx1", "1xinf"] {
            assert_eq!(Size::parse(wrong), Err(UnitError::Size(wrong.into())), "{wrong}");
        }
    }

    #[test]
    fn lengths_are_read_with_point_or_comma() {
        for text in ["12.4", "12,4", " 12.4 mm", "12.4mm"] {
            assert_eq!(parse_mm(text), Ok(Mm(12.4)), "{text}");
        }
        for wrong in ["", "mm", "a", "1,2,3", "inf", "nan", "1e2", "12 cm", "9999"] {
            assert_eq!(parse_mm(wrong), Err(UnitError::Millimetres(wrong.into())), "{wrong}");
        }
    }

    #[test]
    fn lengths_are_read_in_mm_and_inches() {
        assert_eq!(Mm::parse(" 13.5 mm"), Ok(Mm(13.5)));
        assert_eq!(Mm::parse("0.5IN"), Ok(Mm(12.7)));
        assert_eq!(Mm::parse("0"), Ok(Mm::ZERO));
        for wrong in ["", "in", "-1", "x", "nan", "inf", "1,5", "2000"] {
            assert_eq!(Mm::parse(wrong), Err(UnitError::Length(wrong.into())), "{wrong}");
        }
    }

    #[test]
    fn resolutions_outside_of_printers_are_refused() {
        for wrong in ["", "99", "2401", "NaN", "inf", "-300", "fine"] {
            assert!(wrong.parse::<Dpi>().is_err(), "{wrong}");
        }
        assert!((Dpi::new(300.0).unwrap().snap(Mm(4.75)).0 - 4.741_333).abs() < 1e-5);
    }
}
