//! Room and weight: litres, grams, and outer or inner measures, as people write them.

use std::fmt::{Display, Formatter};

use serde::{Serialize, Serializer};

/// Why a size or a weight was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RoomError {
    /// No volume.
    #[error("`{0}` is no volume; write litres, such as 36 or 0.5, or 500 ml; at most 10000 litres")]
    Volume(String),
    /// No weight.
    #[error("`{0}` is no weight; write 9 kg or 850 g; at most 10000 kg")]
    Weight(String),
    /// No measures.
    #[error("`{0}` are no measures; write length x width x height in centimetres, such as 58x38x28")]
    Measures(String),
    /// No length of a side.
    #[error("`{0}` is no length; write centimetres, such as 58 or 58.5, at most 1000")]
    Side(String),
    /// A unit that is not read.
    #[error("lengths are read in cm or mm, and the heading says `{0}`")]
    Unit(String),
    /// A unit of volume that is not read.
    #[error("volumes are read in litres or ml, and the heading says `{0}`")]
    VolumeUnit(String),
    /// A unit of weight that is not read.
    #[error("weights are read in grams or kg, and the heading says `{0}`")]
    WeightUnit(String),
    /// Three digits behind the only separator of grams.
    #[error("`{0}` could be thousands or decimals; write 1250 for grams, or 1.25 kg")]
    Grams(String),
}

/// A volume above nothing, in whole millilitres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Volume(u32);

impl Volume {
    /// So many millilitres, from 1 to 10,000 litres.
    #[must_use]
    pub fn from_millilitres(millilitres: i64) -> Option<Self> {
        u32::try_from(millilitres).ok().filter(|number| (1..=10_000_000).contains(number)).map(Self)
    }

    /// Millilitres.
    #[must_use]
    pub fn millilitres(self) -> u32 {
        self.0
    }

    /// Litres, as a number.
    #[must_use]
    pub fn litres(self) -> f64 {
        f64::from(self.0) / 1000.0
    }

    /// `36`, `0,5 l`, `36 litres`, `500 ml`; a bare number is litres.
    ///
    /// # Errors
    /// [`RoomError::Volume`].
    pub fn parse(text: &str) -> Result<Self, RoomError> {
        Self::parse_in(text, None)
    }

    /// The same under a heading that names a unit, which is that of a bare number.
    ///
    /// # Errors
    /// [`RoomError::Volume`]; [`RoomError::VolumeUnit`].
    pub fn parse_in(text: &str, unit: Option<&str>) -> Result<Self, RoomError> {
        let bare = bare(unit, &VOLUMES, 1000.0).map_err(RoomError::VolumeUnit)?;
        let found = quantity(text, &VOLUMES, bare).and_then(Self::from_millilitres);
        found.ok_or_else(|| RoomError::Volume(text.trim().to_owned()))
    }
}

impl Display for Volume {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} l", self.litres())
    }
}

/// In litres.
impl Serialize for Volume {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.litres())
    }
}

/// A weight above nothing, in whole grams.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Weight(u32);

impl Weight {
    /// So many grams, from 1 to 10,000 kg.
    #[must_use]
    pub fn from_grams(grams: i64) -> Option<Self> {
        u32::try_from(grams).ok().filter(|number| (1..=10_000_000).contains(number)).map(Self)
    }

    /// Grams.
    #[must_use]
    pub fn grams(self) -> u32 {
        self.0
    }

    /// Kilograms, as a number.
    #[must_use]
    pub fn kilograms(self) -> f64 {
        f64::from(self.0) / 1000.0
    }

    /// `9`, `9.5 kg`, `850 g`; a bare number is kilograms.
    ///
    /// # Errors
    /// [`RoomError::Weight`].
    pub fn parse_kg(text: &str) -> Result<Self, RoomError> {
        Self::parse(text, 1000.0)
    }

    /// `850`, `850 g`, `1.2 kg`; a bare number is grams.
    ///
    /// # Errors
    /// [`RoomError::Weight`]; [`RoomError::Grams`] for `1,250`, which could be two things as with amounts.
    pub fn parse_grams(text: &str) -> Result<Self, RoomError> {
        let digits = text.trim().to_lowercase();
        let is_in_grams = !["kg", "kilos", "kilograms"].iter().any(|unit| digits.ends_with(unit));
        let decimals = digits
            .trim_end_matches(char::is_alphabetic)
            .trim_end()
            .split_once([',', '.'])
            .map(|(_, decimals)| decimals.len());
        if is_in_grams && decimals == Some(3) {
            return Err(RoomError::Grams(text.trim().to_owned()));
        }
        Self::parse(text, 1.0)
    }

    /// As [`Self::parse_grams`], under a heading that names a unit, which is that of a bare number.
    ///
    /// # Errors
    /// As [`Self::parse_grams`]; [`RoomError::WeightUnit`].
    pub fn parse_grams_in(text: &str, unit: Option<&str>) -> Result<Self, RoomError> {
        let bare = bare(unit, &WEIGHTS, 1.0).map_err(RoomError::WeightUnit)?;
        let is_in_grams = bare <= 1.0 || text.trim().ends_with(char::is_alphabetic);
        if is_in_grams { Self::parse_grams(text) } else { Self::parse(text, bare) }
    }

    fn parse(text: &str, bare: f64) -> Result<Self, RoomError> {
        let found = quantity(text, &WEIGHTS, bare).and_then(Self::from_grams);
        found.ok_or_else(|| RoomError::Weight(text.trim().to_owned()))
    }
}

impl Display for Weight {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        if self.0 < 1000 { write!(f, "{} g", self.0) } else { write!(f, "{} kg", self.kilograms()) }
    }
}

/// In grams.
impl Serialize for Weight {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u32(self.0)
    }
}

/// Length, width and height in whole millimetres, the longest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Measures([u32; 3]);

impl Measures {
    /// One side in whole millimetres, from `58` or `58,5 cm` or `585 mm`. A bare number is in `unit`, which is cm or mm; in
    /// centimetres where there is none.
    ///
    /// # Errors
    /// [`RoomError::Side`]; [`RoomError::Unit`].
    pub fn parse_side(text: &str, unit: Option<&str>) -> Result<u32, RoomError> {
        let bare = bare(unit, &LENGTHS, 10.0).map_err(RoomError::Unit)?;
        let found = quantity(text, &LENGTHS, bare).and_then(|side| u32::try_from(side).ok());
        found.filter(|side| (1..=10_000).contains(side)).ok_or_else(|| RoomError::Side(text.trim().to_owned()))
    }

    /// Three lengths in millimetres, each from 1 mm to 10 m, in any order.
    #[must_use]
    pub fn from_mm(mut sides: [u32; 3]) -> Option<Self> {
        sides.sort_unstable_by(|one, other| other.cmp(one));
        sides.iter().all(|side| (1..=10_000).contains(side)).then_some(Self(sides))
    }

    /// `58x38x28`, `58 × 38,5 × 28 cm`, `580x380x280 mm`; bare numbers are centimetres.
    ///
    /// # Errors
    /// [`RoomError::Measures`].
    pub fn parse(text: &str) -> Result<Self, RoomError> {
        Self::parse_in(text, None)
    }

    /// The same under a heading that names a unit, which is that of bare numbers.
    ///
    /// # Errors
    /// [`RoomError::Measures`]; [`RoomError::Unit`].
    pub fn parse_in(text: &str, unit: Option<&str>) -> Result<Self, RoomError> {
        let bare = bare(unit, &LENGTHS, 10.0).map_err(RoomError::Unit)?;
        let wrong = || RoomError::Measures(text.trim().to_owned());
        let lower = text.trim().to_lowercase().replace(['×', '*'], "x");
        let (sides, unit) = match (lower.strip_suffix("mm"), lower.strip_suffix("cm")) {
            (Some(sides), _) => (sides, 1.0),
            (_, Some(sides)) => (sides, 10.0),
            _ => (lower.as_str(), bare),
        };
        let sides: Option<Vec<u32>> = sides.split('x').map(|side| whole(number(side)? * unit)).collect();
        sides.and_then(|sides| Self::from_mm(sides.try_into().ok()?)).ok_or_else(wrong)
    }

    /// From the text that [`Self::kept`] gave.
    #[must_use]
    pub fn from_kept(text: &str) -> Option<Self> {
        let sides: Option<Vec<u32>> = text.split('x').map(|side| side.parse().ok()).collect();
        Self::from_mm(sides?.try_into().ok()?)
    }

    /// As a register keeps it: millimetres, `580x380x280`.
    #[must_use]
    pub fn kept(self) -> String {
        self.0.map(|side| side.to_string()).join("x")
    }

    /// The three sides in millimetres, the longest first.
    #[must_use]
    pub fn sides_mm(self) -> [u32; 3] {
        self.0
    }

    /// What a box of these measures takes up, rounded up to millilitres.
    #[must_use]
    pub fn volume(self) -> Volume {
        let [length, width, height] = self.0.map(u64::from);
        let millilitres = (length * width * height).div_ceil(1000);
        Volume(u32::try_from(millilitres).unwrap_or(u32::MAX).clamp(1, 10_000_000))
    }

    /// The longest straight line in a box of these inner measures, in whole millimetres.
    #[must_use]
    pub fn diagonal_mm(self) -> u32 {
        let squares: u32 = self.0.iter().map(|side| side * side).sum();
        squares.isqrt()
    }
}

/// In centimetres: `58 x 38 x 28 cm`.
impl Display for Measures {
    fn fmt(&self, f: &mut Formatter<'_>) -> std::fmt::Result {
        let [length, width, height] = self.0.map(|side| f64::from(side) / 10.0);
        write!(f, "{length} x {width} x {height} cm")
    }
}

/// As three numbers of centimetres.
impl Serialize for Measures {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.map(|side| f64::from(side) / 10.0).serialize(serializer)
    }
}

/// Words for units with what one is in the smallest; a longer one before those that it ends in.
type Units = [(&'static str, f64)];

const VOLUMES: [(&str, f64); 8] = [
    ("millilitres", 1.0),
    ("milliliters", 1.0),
    ("ml", 1.0),
    ("litres", 1000.0),
    ("litre", 1000.0),
    ("liters", 1000.0),
    ("liter", 1000.0),
    ("l", 1000.0),
];
const WEIGHTS: [(&str, f64); 6] =
    [("kilograms", 1000.0), ("kilos", 1000.0), ("kg", 1000.0), ("grams", 1.0), ("gram", 1.0), ("g", 1.0)];
const LENGTHS: [(&str, f64); 4] = [("millimetres", 1.0), ("centimetres", 10.0), ("mm", 1.0), ("cm", 10.0)];

/// What a bare number is in where a unit is named; what stands there otherwise if it is none of these.
fn bare(unit: Option<&str>, units: &Units, usual: f64) -> Result<f64, String> {
    let unit = unit.map(|unit| unit.trim().to_lowercase()).unwrap_or_default();
    let found = units.iter().find(|(word, _)| *word == unit).map(|(_, by)| *by);
    found.or_else(|| unit.is_empty().then_some(usual)).ok_or(unit)
}

/// The names for sizes that are there without the user setting any, with their millilitres.
pub const USUAL_SIZES: [(&str, u32); 4] = [("small", 500), ("medium", 2000), ("large", 6000), ("bulky", 15_000)];

/// A number with a unit, as a whole number of the smallest one.
fn quantity(text: &str, units: &Units, bare: f64) -> Option<i64> {
    let lower = text.trim().to_lowercase();
    let with_unit = units.iter().find_map(|(unit, by)| Some((lower.strip_suffix(unit)?, *by)));
    let (digits, by) = with_unit.unwrap_or((&lower, bare));
    whole(number(digits)? * by).map(i64::from)
}

/// Digits with at most one point or comma: never an exponent, a sign or a group.
fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && text.len() <= 12;
    is_plain.then(|| text.parse().ok())?
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "checked by the range")]
fn whole(value: f64) -> Option<u32> {
    let rounded = value.round();
    (0.0..=f64::from(u32::MAX)).contains(&rounded).then_some(rounded as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn volumes_are_read_in_litres_and_millilitres() {
        let cases = [
            ("36", 36_000),
            ("36 l", 36_000),
            ("0,5", 500),
            ("500ml", 500),
            ("2.25 Litres", 2250),
            ("1 litre", 1000),
            ("3 Liter", 3000),
        ];
        for (text, millilitres) in cases {
            assert_eq!(Volume::parse(text).map(Volume::millilitres), Ok(millilitres), "{text}");
        }
        for wrong in ["", "l", "0", "-1", "1e3", "1.000,5", "nan", "inf", "99999", "3 kg", "0.0001"] {
            assert_eq!(Volume::parse(wrong), Err(RoomError::Volume(wrong.into())), "{wrong}");
        }
        assert_eq!(Volume::parse("0.5").unwrap().to_string(), "0.5 l");
        assert_eq!(Volume::parse_in("250", Some("ml")).map(Volume::millilitres), Ok(250));
        assert_eq!(Volume::parse_in("2 l", Some("ml")).map(Volume::millilitres), Ok(2000));
        assert_eq!(Volume::parse_in("2", Some("gal")), Err(RoomError::VolumeUnit("gal".into())));
    }

    #[test]
    fn weights_are_read_in_kilograms_and_grams() {
        assert_eq!(Weight::parse_kg("9").map(Weight::grams), Ok(9000));
        assert_eq!(Weight::parse_kg("850 g").map(Weight::grams), Ok(850));
        assert_eq!(Weight::parse_grams("850").map(Weight::grams), Ok(850));
        assert_eq!(Weight::parse_grams("1,2kg").map(Weight::grams), Ok(1200));
        assert_eq!(Weight::parse_grams("1,250 kg").map(Weight::grams), Ok(1250));
        for two in ["1,250", "1.250 g"] {
            assert_eq!(Weight::parse_grams(two), Err(RoomError::Grams(two.into())), "{two}");
        }
        for wrong in ["", "kg", "0", "-3", "10001 kg", "9 l"] {
            assert_eq!(Weight::parse_kg(wrong), Err(RoomError::Weight(wrong.into())), "{wrong}");
        }
        assert_eq!(Weight::parse_grams_in("1,250", Some("kg")).map(Weight::grams), Ok(1250));
        assert_eq!(Weight::parse_grams_in("850 g", Some("kg")).map(Weight::grams), Ok(850));
        assert_eq!(Weight::parse_grams_in("1,250", Some("g")), Err(RoomError::Grams("1,250".into())));
        assert_eq!(Weight::parse_grams_in("2", Some("oz")), Err(RoomError::WeightUnit("oz".into())));
        assert_eq!(Weight::parse_kg("9.5").unwrap().to_string(), "9.5 kg");
    }

    #[test]
    fn measures_are_read_in_centimetres_and_millimetres() {
        let tub = Measures::from_mm([580, 380, 280]).unwrap();
        for text in ["58x38x28", "38 x 28 x 58 cm", "580×380×280mm", "58*38*28", "58,0x38.0x28"] {
            assert_eq!(Measures::parse(text), Ok(tub), "{text}");
        }
        for wrong in ["", "58x38", "58x38x28x2", "0x1x1", "axbxc", "1e1x2x3", "x", "1001x1x1", "-1x2x3"] {
            assert_eq!(Measures::parse(wrong), Err(RoomError::Measures(wrong.into())), "{wrong}");
        }
        assert_eq!(Measures::from_kept(&tub.kept()), Some(tub));
        assert_eq!(Measures::parse_in("580x380x280", Some("mm")), Ok(tub));
        assert_eq!(Measures::parse_in("58x38x28", Some("inches")), Err(RoomError::Unit("inches".into())));
        assert_eq!(tub.to_string(), "58 x 38 x 28 cm");
    }

    #[test]
    fn sides_are_read_one_by_one() {
        let cases = [("58", None, 580), ("58,5 cm", None, 585), ("585", Some("mm"), 585), ("58", Some("cm"), 580)];
        for (text, unit, side) in cases {
            assert_eq!(Measures::parse_side(text, unit), Ok(side), "{text} {unit:?}");
        }
        for wrong in ["", "0", "-3", "1001", "12\"", "1e2", "5 l"] {
            assert_eq!(Measures::parse_side(wrong, None), Err(RoomError::Side(wrong.into())), "{wrong}");
        }
        assert_eq!(Measures::parse_side("12", Some("in")), Err(RoomError::Unit("in".into())));
    }

    #[test]
    fn a_box_holds_its_sides_and_a_diagonal() {
        // 58 x 38 x 28 cm: 61.712 l; the diagonal is the root of 3364 + 1444 + 784 = 5592, 74.78 cm (geometry).
        let tub = Measures::from_mm([580, 380, 280]).unwrap();
        assert_eq!(tub.volume().millilitres(), 61_712);
        assert_eq!(tub.diagonal_mm(), 747);
    }
}
