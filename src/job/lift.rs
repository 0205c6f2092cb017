//! What is said of a lift: what each part of it leaves of the weight, and what to try.
//!
//! Start with [`lift_parts`]. The equation is [`crate::plan::Lift`]'s. Behind every guide weight stands [`LIFT_CAUTION`].

use crate::{
    plan::{Factors, Lift},
    unit::Mm,
};

/// Stands behind every guide weight.
pub const LIFT_CAUTION: &str = "A guide figure, not a limit: the tub maker's rating, local rules and a qualified person's \
                                advice come first. The tub itself counts too.";

/// Why a turn to the side was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("degrees go from 0, straight ahead, to 180")]
pub struct TurnError;

/// How far something is taken to the side, in degrees.
///
/// # Errors
/// [`TurnError`].
pub fn lift_turn(text: &str) -> Result<f64, TurnError> {
    let degrees = text.trim().trim_end_matches('°').parse().ok().filter(|degrees| (0.0..=180.0).contains(degrees));
    degrees.ok_or(TurnError)
}

/// A factor, in words.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftPart {
    /// Of what.
    pub name: &'static str,
    /// How that is.
    pub is: String,
    /// What it leaves, from 1 down to 0.
    pub factor: f64,
    /// What would make it better.
    pub try_this: &'static str,
}

impl LiftPart {
    /// `83.5 %`, without a zero behind the point.
    #[must_use]
    pub fn percent(&self) -> String {
        format!("{} %", (self.factor * 1000.0).round() / 10.0)
    }
}

/// The guide weight in pounds, rounded down to a tenth as the kilograms are.
#[must_use]
pub fn lift_pounds(lift: &Lift) -> f64 {
    (lift.kilograms() / 0.453_592_37 * 10.0).floor() / 10.0
}

/// The factors of a lift, in words.
#[must_use]
pub fn lift_parts(lift: &Lift) -> Vec<LiftPart> {
    let Factors { reach, height, distance, angle, often, handles } = lift.factors();
    let cm = |length: Mm| format!("{} cm", (length.0).round() / 10.0);
    let pace = match lift.often.per_minute() {
        seldom if seldom <= 0.2 => "once in 5 minutes or less".into(),
        times => format!("{} a minute", (times * 100.0).round() / 100.0),
    };
    let time = match lift.spell.minutes() {
        short if short <= 60.0 => "an hour at most",
        medium if medium <= 120.0 => "two hours at most",
        _ => "eight hours at most",
    };
    let is_too_high = lift.ends_too_high();
    let ends = if is_too_high { format!(", ends at {}", cm(lift.to)) } else { String::new() };
    let starts = format!("starts at {}{ends}", cm(lift.height));
    let part = |name, is, factor, try_this| LiftPart { name, is, factor, try_this };
    vec![
        part("reach", format!("{} in front of the ankles", cm(lift.reach)), reach, "hold it closer to the body"),
        part(
            "height",
            starts,
            height,
            if is_too_high { "end it below 175 cm" } else { "begin nearer to 75 cm, on another shelf" },
        ),
        part("way", format!("{} up or down", cm(lift.way())), distance, "lift it less far, with a stop in between"),
        part("turn", format!("{} degrees to the side", lift.angle), angle, "face it, and turn with the feet"),
        part("pace", format!("{pace}, {time}"), often, "lift less often, or for a shorter time"),
        part("handles", lift.handles.word().to_owned(), handles, "take a smaller tub with handles"),
    ]
}

/// What costs most, and what to try.
#[must_use]
pub fn lift_advice(parts: &[LiftPart]) -> String {
    let most = parts.iter().min_by(|one, other| one.factor.total_cmp(&other.factor));
    match most {
        Some(part) if part.factor <= 0.0 => {
            let beyond: Vec<&str> = parts.iter().filter(|part| part.factor <= 0.0).map(|part| part.name).collect();
            format!("beyond what the equation knows: {}; {}", beyond.join(", "), part.try_this)
        }
        Some(part) if part.factor < 0.995 => format!("the {} costs most: {}", part.name, part.try_this),
        _ => "nothing about this lift costs anything".into(),
    }
}
