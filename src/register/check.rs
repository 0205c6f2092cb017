//! Whether a register is sound: the file, the index of words, what belongs together, codes, and the journal.
//!
//! Start with [`Register::check`]. It changes nothing, and goes on where a part can't be read. Whether the register says
//! what is really in the bins is for a count to find out.

mod codes;
mod fold;
mod rows;
mod rules;
mod sqlite;

use serde::Serialize;

use super::{Register, RegisterError};
use crate::code::StockCode;

/// Something that is not as it should be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// The kind of problem, in a word that stays.
    pub kind: &'static str,
    /// Where: a code, a number, a table.
    #[serde(rename = "where")]
    pub at: String,
    /// What is wrong.
    pub what: String,
    /// What to try.
    #[serde(rename = "try")]
    pub advice: &'static str,
}

/// What a check found.
#[derive(Debug, Default)]
pub struct Checked {
    /// Whatever is not as it should be; of each kind the first ones.
    pub problems: Vec<Problem>,
    /// What could not be looked at, and why.
    pub skipped: Vec<String>,
    counts: std::collections::BTreeMap<&'static str, usize>,
}

/// Of each kind so many are told one by one.
const MOST_OF_A_KIND: usize = 20;

const RESTORE: &str = "restore a backup: `stowmark backup list` shows those that are there";

impl Checked {
    fn add(&mut self, kind: &'static str, at: impl Into<String>, what: impl Into<String>, advice: &'static str) {
        let count = self.counts.entry(kind).or_default();
        *count += 1;
        if *count <= MOST_OF_A_KIND {
            self.problems.push(Problem { kind, at: at.into(), what: what.into(), advice });
        }
    }

    /// A part that can't be read is a problem, not the end.
    fn attempt(&mut self, part: &'static str, outcome: Result<(), RegisterError>) {
        if let Err(fault) = outcome {
            let cause = std::error::Error::source(&fault).map(|cause| format!(" ({cause})")).unwrap_or_default();
            self.add("unreadable", part, format!("it can't be read to its end: {fault}{cause}"), RESTORE);
        }
    }

    fn tell_the_rest(&mut self) {
        for (kind, count) in std::mem::take(&mut self.counts) {
            if let Some(more) = count.checked_sub(MOST_OF_A_KIND).filter(|more| *more > 0) {
                let what = format!("{more} more of this kind");
                self.problems.push(Problem { kind, at: String::new(), what, advice: RESTORE });
            }
        }
    }
}

impl Register {
    /// Looks for anything that is not as it should be.
    ///
    /// # Errors
    /// [`RegisterError`] when another program keeps the register, or nothing of it can be read.
    pub fn check(&self) -> Result<Checked, RegisterError> {
        let mut found = Checked::default();
        sqlite::check_words(self, &mut found)?;
        // All that follows looks at one moment.
        let moment = self.connection.unchecked_transaction()?;
        sqlite::check_file(&moment, &mut found);
        let outcome = rules::check(&moment, &mut found);
        found.attempt("rules", outcome);
        let outcome = rows::check(&moment, &mut found);
        found.attempt("item", outcome);
        let outcome = codes::check(&moment, &mut found);
        found.attempt("name", outcome);
        let outcome = fold::check(&moment, &mut found);
        found.attempt("journal", outcome);
        found.tell_the_rest();
        Ok(found)
    }
}

/// A code as people write it; other texts as they are.
fn written(payload: &str) -> String {
    match StockCode::from_payload(payload) {
        Some(StockCode::Item(code)) => code.to_string(),
        Some(StockCode::Bin(code)) => code.to_string(),
        None => payload.to_owned(),
    }
}
