//! How high capitals must be to be read from a distance, and how far given ones are read.

use crate::unit::Mm;

/// The angle that a capital's height is seen under: 20 minutes of arc, preferred by ISO 9241-3 and, as
/// 0.006 of the distance, by NUREG-0700 11.4.1.5-1.
const PREFERRED_ARC_MINUTES: f64 = 20.0;

/// The height of capitals that is preferred at a reading distance: h = 2 d tan(a / 2), 17.5 mm at 3 m.
#[must_use]
pub fn cap_for(distance: Mm) -> Mm {
    distance * height_per_distance()
}

/// How far off capitals of this height are read at the preferred angle.
#[must_use]
pub fn read_from(cap: Mm) -> Mm {
    Mm(cap.0 / height_per_distance())
}

fn height_per_distance() -> f64 {
    2.0 * ((PREFERRED_ARC_MINUTES / 60.0).to_radians() * 0.5).tan()
}
