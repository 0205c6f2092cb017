//! How often and for how long something is done, as people say it.

/// Why a pace or a time was refused.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PaceError {
    /// No pace.
    #[error("`{0}` is no pace; write 3/min, 1/5min or 2/h")]
    Pace(String),
    /// No time within a day's work.
    #[error("`{0}` is no time for this; write 1h, 90min or 2.5h, at most 8h")]
    Spell(String),
}

/// How often something is done.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Pace(f64);

impl Pace {
    /// Once in five minutes.
    pub const SELDOM: Self = Self(0.2);

    /// So many times a minute, more than none and at most 1,000.
    #[must_use]
    pub fn a_minute(times: f64) -> Option<Self> {
        (times > 0.0 && times <= 1000.0).then_some(Self(times))
    }

    /// Times a minute.
    #[must_use]
    pub fn per_minute(self) -> f64 {
        self.0
    }

    /// `3/min`, `1/5min`, `2/h`, `1/30s`.
    ///
    /// # Errors
    /// [`PaceError::Pace`].
    pub fn parse(text: &str) -> Result<Self, PaceError> {
        let read = || {
            let (times, time) = text.split_once('/')?;
            // `/min` is once a minute's worth of time.
            let time = time.trim();
            let minutes = if time.starts_with(|c: char| c.is_ascii_digit()) {
                minutes(time)?
            } else {
                minutes(&format!("1{time}"))?
            };
            Self::a_minute(number(times)? / minutes)
        };
        read().ok_or_else(|| PaceError::Pace(text.trim().to_owned()))
    }
}

/// For how long something is done within a day.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Spell(f64);

impl Spell {
    /// An hour.
    pub const HOUR: Self = Self(60.0);

    /// So many minutes, more than none and at most eight hours.
    #[must_use]
    pub fn of_minutes(minutes: f64) -> Option<Self> {
        (minutes > 0.0 && minutes <= 480.0).then_some(Self(minutes))
    }

    /// Minutes.
    #[must_use]
    pub fn minutes(self) -> f64 {
        self.0
    }

    /// `1h`, `90min`, `2.5 h`.
    ///
    /// # Errors
    /// [`PaceError::Spell`].
    pub fn parse(text: &str) -> Result<Self, PaceError> {
        minutes(text).and_then(Self::of_minutes).ok_or_else(|| PaceError::Spell(text.trim().to_owned()))
    }
}

/// A number with its unit of time, in minutes.
fn minutes(text: &str) -> Option<f64> {
    let lower = text.trim().to_lowercase();
    let units = [("minutes", 1.0), ("minute", 1.0), ("min", 1.0), ("hours", 60.0), ("hour", 60.0), ("h", 60.0)];
    let with_unit = units.iter().find_map(|(unit, by)| Some(number(lower.strip_suffix(unit)?)? * by));
    with_unit.or_else(|| Some(number(lower.strip_suffix('s')?)? / 60.0)).filter(|minutes| *minutes > 0.0)
}

/// Digits with at most one point or comma.
fn number(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".");
    let is_plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.') && text.len() <= 9;
    is_plain.then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paces_are_read_as_they_are_said() {
        let cases = [
            ("3/min", 3.0),
            ("1/5min", 0.2),
            ("12/h", 0.2),
            ("2 / 10 min", 0.2),
            ("1/30s", 2.0),
            ("2/h", 2.0 / 60.0),
            ("1,5/minute", 1.5),
        ];
        for (text, times) in cases {
            assert_eq!(Pace::parse(text).map(Pace::per_minute), Ok(times), "{text}");
        }
        for wrong in ["", "3", "/min", "3/", "0/min", "1/0min", "-1/min", "1/5", "3/day", "1e3/min", "x/min", "1/min/h"]
        {
            assert_eq!(Pace::parse(wrong), Err(PaceError::Pace(wrong.into())), "{wrong}");
        }
    }

    #[test]
    fn times_fit_a_day_of_work() {
        for (text, minutes) in [("1h", 60.0), ("90min", 90.0), ("2.5 hours", 150.0), ("8h", 480.0), ("90s", 1.5)] {
            assert_eq!(Spell::parse(text).map(Spell::minutes), Ok(minutes), "{text}");
        }
        for wrong in ["", "1", "h", "0h", "9h", "-1h", "1d"] {
            assert_eq!(Spell::parse(wrong), Err(PaceError::Spell(wrong.into())), "{wrong}");
        }
    }
}
