//! The JSON of guide weights.

use serde::Serialize;

use crate::{
    plan::{Factors, Lift},
    unit::Weight,
};

/// A guide weight.
#[derive(Debug, Serialize)]
pub struct LiftJson {
    guide_kg: f64,
    factors: FactorsJson,
    caution: &'static str,
}

/// What each part of a lift leaves, from 1 down to 0.
#[derive(Debug, Serialize)]
struct FactorsJson {
    reach: f64,
    height: f64,
    distance: f64,
    angle: f64,
    often: f64,
    handles: f64,
}

impl LiftJson {
    /// The guide weight of a lift, 0 where it should not be lifted like that.
    #[must_use]
    pub fn new(lift: &Lift, caution: &'static str) -> Self {
        let Factors { reach, height, distance, angle, often, handles } = lift.factors();
        let [reach, height, distance, angle, often, handles] =
            [reach, height, distance, angle, often, handles].map(rounded);
        let factors = FactorsJson { reach, height, distance, angle, often, handles };
        Self { guide_kg: lift.guide().map_or(0.0, Weight::kilograms), factors, caution }
    }
}

/// Without float noise.
fn rounded(factor: f64) -> f64 {
    (factor * 10_000.0).round() / 10_000.0
}
