//! A guide weight for a lift, by the revised NIOSH equation.
//!
//! Start with [`Lift::guide`]. The equation, its limits and its tables are those of the Applications Manual for the
//! Revised NIOSH Lifting Equation, DHHS (NIOSH) Publication No. 94-110, rev. 9/2021, in its metric form. It looks at the
//! start of the lift only, and at smooth lifts with both hands on good ground: not at carrying, pushing, slippery floors,
//! heat, or who lifts.

use crate::unit::{Mm, Pace, Spell, Weight};

/// The load constant in kilograms.
const LOAD: f64 = 23.0;
/// Below this height hands and lifts count as low, in centimetres.
const KNUCKLES: f64 = 75.0;
/// The shortest reach and the shortest way that the equation tells apart, in centimetres.
const LEAST: f64 = 25.0;
/// Beyond these there is no guide weight: centimetres, and degrees.
const MOST_REACH: f64 = 63.0;
const MOST_HEIGHT: f64 = 175.0;
const MOST_WAY: f64 = 175.0;
const MOST_ANGLE: f64 = 135.0;
/// Float noise of a product that should come out as a tenth of a kilogram, in tenths.
const NOISE: f64 = 1e-9;

/// How well a container can be held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Handles {
    /// Handles or cut-outs of the best make, on a container up to 40 cm in front and 30 cm high.
    Good,
    /// Lesser handles, or fingers bent square under the bottom.
    Fair,
    /// None, or a container that is longer than 40 cm in front, higher than 30 cm, or that sags.
    #[default]
    Poor,
}

impl Handles {
    /// The word for it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Fair => "fair",
            Self::Poor => "poor",
        }
    }

    /// Those of this word.
    #[must_use]
    pub fn by_word(word: &str) -> Option<Self> {
        [Self::Good, Self::Fair, Self::Poor].into_iter().find(|handles| handles.word() == word)
    }
}

/// A lift of a container with both hands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lift {
    /// How high the hands are over the floor when it begins.
    pub height: Mm,
    /// How high they are when it ends.
    pub to: Mm,
    /// How far they are in front of the ankles when it begins.
    pub reach: Mm,
    /// How far it is taken to the side, in degrees; 0 is straight ahead.
    pub angle: f64,
    /// How well it can be held.
    pub handles: Handles,
    /// How often it is done.
    pub often: Pace,
    /// For how long within a day, with light work behind it.
    pub spell: Spell,
}

/// What each part of a lift leaves of the load constant, from 1 down to 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factors {
    /// HM, of the reach.
    pub reach: f64,
    /// VM, of the height at which it begins.
    pub height: f64,
    /// DM, of the way up or down.
    pub distance: f64,
    /// AM, of the turn to the side.
    pub angle: f64,
    /// FM, of how often it is done and for how long.
    pub often: f64,
    /// CM, of how it can be held.
    pub handles: f64,
}

impl Factors {
    /// All of them in the order of the equation.
    #[must_use]
    pub fn all(&self) -> [f64; 6] {
        [self.reach, self.height, self.distance, self.angle, self.often, self.handles]
    }

    /// What they leave together.
    #[must_use]
    pub fn product(&self) -> f64 {
        self.all().into_iter().product()
    }
}

impl Lift {
    /// A lift that is seldom made, straight ahead, with poor handles, for an hour at most.
    #[must_use]
    pub fn seldom(height: Mm, to: Mm, reach: Mm) -> Self {
        let (often, spell) = (Pace::SELDOM, Spell::HOUR);
        Self { height, to, reach, angle: 0.0, handles: Handles::default(), often, spell }
    }

    /// The multipliers, at full precision.
    #[must_use]
    pub fn factors(&self) -> Factors {
        let [height, way, reach] = [self.height, self.way(), self.reach].map(cm);
        Factors {
            reach: within(reach, MOST_REACH, LEAST / reach.max(LEAST)),
            height: within(height.max(cm(self.to)), MOST_HEIGHT, 1.0 - 0.003 * (height - KNUCKLES).abs()),
            distance: within(way, MOST_WAY, 0.82 + 4.5 / way.max(LEAST)),
            angle: within(self.angle, MOST_ANGLE, 1.0 - 0.0032 * self.angle),
            often: often(self.often, self.spell, height < KNUCKLES),
            handles: match self.handles {
                Handles::Fair if height < KNUCKLES => 0.95,
                Handles::Good | Handles::Fair => 1.0,
                Handles::Poor => 0.9,
            },
        }
    }

    /// What the equation recommends at most, in kilograms at full precision.
    #[must_use]
    pub fn kilograms(&self) -> f64 {
        LOAD * self.factors().product()
    }

    /// The guide weight, rounded down to a tenth of a kilogram; `None` where the equation leaves nothing, so that it
    /// should not be lifted like that.
    #[must_use]
    pub fn guide(&self) -> Option<Weight> {
        #[expect(clippy::cast_possible_truncation, reason = "from 0 to 230")]
        let tenths = (self.kilograms() * 10.0 + NOISE).floor() as i64;
        Weight::from_grams(tenths * 100)
    }

    /// Whether the hands end above the height that the equation knows.
    #[must_use]
    pub fn ends_too_high(&self) -> bool {
        cm(self.to) > MOST_HEIGHT
    }

    /// How far the hands go up or down.
    #[must_use]
    pub fn way(&self) -> Mm {
        Mm((self.to.0 - self.height.0).abs())
    }
}

fn cm(length: Mm) -> f64 {
    length.0 / 10.0
}

/// Nothing is left beyond a limit.
fn within(value: f64, most: f64, factor: f64) -> f64 {
    if value > most { 0.0 } else { factor }
}

/// Lifts a minute, and FM for at most one, two and eight hours: for hands below 75 cm, and from there on.
type Row = (f64, [[f64; 2]; 3]);

/// Table 5 of the publication. A pace between two rows takes the one of the faster, which is the cautious one.
const FREQUENCY: [Row; 17] = [
    (0.2, [[1.0, 1.0], [0.95, 0.95], [0.85, 0.85]]),
    (0.5, [[0.97, 0.97], [0.92, 0.92], [0.81, 0.81]]),
    (1.0, [[0.94, 0.94], [0.88, 0.88], [0.75, 0.75]]),
    (2.0, [[0.91, 0.91], [0.84, 0.84], [0.65, 0.65]]),
    (3.0, [[0.88, 0.88], [0.79, 0.79], [0.55, 0.55]]),
    (4.0, [[0.84, 0.84], [0.72, 0.72], [0.45, 0.45]]),
    (5.0, [[0.80, 0.80], [0.60, 0.60], [0.35, 0.35]]),
    (6.0, [[0.75, 0.75], [0.50, 0.50], [0.27, 0.27]]),
    (7.0, [[0.70, 0.70], [0.42, 0.42], [0.22, 0.22]]),
    (8.0, [[0.60, 0.60], [0.35, 0.35], [0.18, 0.18]]),
    (9.0, [[0.52, 0.52], [0.30, 0.30], [0.0, 0.15]]),
    (10.0, [[0.45, 0.45], [0.26, 0.26], [0.0, 0.13]]),
    (11.0, [[0.41, 0.41], [0.0, 0.23], [0.0, 0.0]]),
    (12.0, [[0.37, 0.37], [0.0, 0.21], [0.0, 0.0]]),
    (13.0, [[0.0, 0.34], [0.0, 0.0], [0.0, 0.0]]),
    (14.0, [[0.0, 0.31], [0.0, 0.0], [0.0, 0.0]]),
    (15.0, [[0.0, 0.28], [0.0, 0.0], [0.0, 0.0]]),
];

fn often(pace: Pace, spell: Spell, is_low: bool) -> f64 {
    let column = [60.0, 120.0].iter().filter(|most| spell.minutes() > **most).count();
    let row = FREQUENCY.iter().find(|(times, _)| pace.per_minute() <= *times);
    row.map_or(0.0, |(_, factors)| factors[column][usize::from(!is_low)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::unit::parse_cm;

    const POUND: f64 = 0.453_592_37;

    /// A lift that costs nothing.
    fn easy() -> Lift {
        Lift { handles: Handles::Good, ..Lift::seldom(Mm(750.0), Mm(1000.0), Mm(250.0)) }
    }

    fn at(height: f64, to: f64, reach: f64) -> Lift {
        Lift { height: Mm(height * 10.0), to: Mm(to * 10.0), reach: Mm(reach * 10.0), ..easy() }
    }

    fn often_of(times: f64, hours: f64, height: f64) -> f64 {
        let (often, spell) = (Pace::a_minute(times).unwrap(), Spell::of_minutes(hours * 60.0).unwrap());
        Lift { often, spell, ..at(height, height, 25.0) }.factors().often
    }

    fn near(value: f64, expected: f64) -> bool {
        (value - expected).abs() < 1e-9
    }

    /// DHHS Pub. 94-110, the definitions of the multipliers (CHECK-VALUES.md, Lifting).
    #[test]
    fn multipliers_follow_their_formulas_and_limits() {
        assert!(near(easy().kilograms(), 23.0));
        assert_eq!(easy().guide().map(Weight::grams), Some(23_000));
        let reach = [(0.0, 1.0), (25.0, 1.0), (40.0, 0.625), (50.0, 0.5), (63.0, 25.0 / 63.0), (63.1, 0.0)];
        for (cm, factor) in reach {
            assert!(near(at(75.0, 75.0, cm).factors().reach, factor), "{cm}");
        }
        let height = [(0.0, 0.775), (20.0, 0.835), (75.0, 1.0), (100.0, 0.925), (175.0, 0.7), (175.1, 0.0)];
        for (cm, factor) in height {
            assert!(near(at(cm, cm, 25.0).factors().height, factor), "{cm}");
        }
        let way = [(0.0, 1.0), (25.0, 1.0), (60.0, 0.895), (75.0, 0.88), (175.0, 0.82 + 4.5 / 175.0), (175.1, 0.0)];
        for (cm, factor) in way {
            assert!(near(at(0.0, cm, 25.0).factors().distance, factor), "{cm}");
            assert!(near(at(cm, 0.0, 25.0).factors().distance, factor), "down {cm}");
        }
        for (angle, factor) in [(0.0, 1.0), (45.0, 0.856), (90.0, 0.712), (135.0, 0.568), (135.1, 0.0)] {
            assert!(near(Lift { angle, ..easy() }.factors().angle, factor), "{angle}");
        }
        let handles = [(Handles::Good, 1.0, 1.0), (Handles::Fair, 0.95, 1.0), (Handles::Poor, 0.9, 0.9)];
        for (handles, low, high) in handles {
            assert!(near(Lift { handles, ..at(74.9, 75.0, 25.0) }.factors().handles, low), "{handles:?}");
            assert!(near(Lift { handles, ..at(75.0, 75.0, 25.0) }.factors().handles, high), "{handles:?}");
        }
    }

    /// The columns of the public table as CHECK-VALUES.md lists them, for 0.2, 0.5, 1, 2 … 15 lifts a minute.
    #[test]
    fn frequency_multipliers_are_those_of_the_table() {
        let hour = [1., 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37];
        let two = [0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26];
        let eight = [0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18];
        let high: [(f64, &[f64], &[f64]); 3] =
            [(1.0, &hour, &[0.34, 0.31, 0.28]), (2.0, &two, &[0.23, 0.21]), (8.0, &eight, &[0.15, 0.13])];
        for (hours, any_height, only_high) in high {
            for at in 0..17 {
                let times = [0.2, 0.5].get(at).copied().unwrap_or_else(|| f64::from(u8::try_from(at).unwrap()) - 1.0);
                let low = any_height.get(at).copied().unwrap_or_default();
                let high = any_height.iter().chain(only_high).nth(at).copied().unwrap_or_default();
                assert!(near(often_of(times, hours, 74.9), low), "{times}/min for {hours} h, low");
                assert!(near(often_of(times, hours, 75.0), high), "{times}/min for {hours} h, high");
            }
        }
        assert!(near(often_of(15.1, 1.0, 80.0), 0.0) && near(often_of(100.0, 8.0, 80.0), 0.0));
    }

    #[test]
    fn a_pace_between_two_rows_takes_the_faster_and_a_slow_one_the_first() {
        let paces = [(0.01, 1.0, 1.0), (0.01, 8.0, 0.85), (0.21, 1.0, 0.97), (2.5, 1.0, 0.88), (14.2, 1.0, 0.28)];
        // The next longer time as well.
        let times = [(3.0, 1.01, 0.79), (3.0, 2.0, 0.79), (3.0, 2.01, 0.55)];
        for (times, hours, factor) in paces.into_iter().chain(times) {
            assert!(near(often_of(times, hours, 80.0), factor), "{times}/min for {hours} h");
        }
    }

    /// Example 4 of the publication (p. 46), 51 x 1.0 x .94 x .87 x 1.0 x .88 x .95 = 34.9 lb: 10 in of reach, from 22 to
    /// 59 in, three a minute for at most an hour, fair (its figures, from memory).
    #[test]
    fn the_worked_example_of_the_publication_comes_out() {
        let inches = |text| parse_cm(text).unwrap();
        let (height, to, reach) = (inches("22in"), inches("59in"), inches("10in"));
        let often = Pace::parse("3/min").unwrap();
        let lift = Lift { height, to, reach, handles: Handles::Fair, often, ..easy() };
        let hundredths = lift.factors().all().map(|factor| format!("{factor:.2}"));
        // The publication's 10 in are 25.4 cm: 0.98 in its metric form, 1.0 in the one of pounds.
        assert_eq!(hundredths, ["0.98", "0.94", "0.87", "1.00", "0.88", "0.95"]);
        let nearer = Lift { reach: Mm(250.0), ..lift };
        assert!((51.0 * nearer.factors().product() - 34.9).abs() < 0.05, "{}", 51.0 * nearer.factors().product());
        assert!((nearer.kilograms() / POUND - 34.8).abs() < 0.2, "{}", nearer.kilograms() / POUND);
    }

    /// The page on frequency of the CCOHS: 23 x 1 x .93 x 1 x .71 x .13 x 1 = 1.97 kg. Hands at 1 m give .925, a turn of
    /// 90 degrees .712, ten a minute for eight hours .13 (back from its multipliers).
    #[test]
    fn the_worked_example_of_the_canadian_centre_comes_out() {
        let (often, spell) = (Pace::a_minute(10.0).unwrap(), Spell::of_minutes(480.0).unwrap());
        let lift = Lift { angle: 90.0, often, spell, ..at(100.0, 120.0, 25.0) };
        assert!((lift.kilograms() - 1.97).abs() < 0.005, "{}", lift.kilograms());
        assert_eq!(lift.guide().map(Weight::grams), Some(1900));
    }

    /// CHECK-VALUES.md, computed: 10.2 and 12.6 kg.
    #[test]
    fn tubs_on_shelves_come_out_rounded_down() {
        let low = Lift { handles: Handles::Fair, ..at(20.0, 80.0, 40.0) };
        assert!(near(low.kilograms(), 23.0 * 0.625 * 0.835 * 0.895 * 0.95));
        assert_eq!(low.guide().map(Weight::grams), Some(10_200));
        let high = Lift { handles: Handles::Fair, ..at(75.0, 150.0, 40.0) };
        assert!(near(high.kilograms(), 12.65));
        assert_eq!(high.guide().map(Weight::grams), Some(12_600));
    }

    #[test]
    fn beyond_the_limits_there_is_no_guide_weight() {
        for lift in [
            at(75.0, 75.0, 64.0),
            at(176.0, 176.0, 25.0),
            at(0.0, 176.0, 25.0),
            at(100.0, 230.0, 25.0),
            Lift { angle: 136.0, ..easy() },
        ] {
            assert_eq!((lift.guide(), near(lift.kilograms(), 0.0)), (None, true), "{lift:?}");
        }
    }
}
