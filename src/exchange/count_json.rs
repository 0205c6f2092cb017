//! The JSON of counts of bins. Each type is one object of the answers.

use serde::Serialize;

use super::json::{BinJson, ItemJson, MoveJson};

/// What a count of a bin found.
#[derive(Debug, Serialize)]
pub struct CountJson {
    /// The bin's code.
    pub bin: String,
    /// Those that are there as they should.
    pub present: Vec<ItemJson>,
    /// Those that are not there.
    pub missing: Vec<ItemJson>,
    /// Those that are there and that the register has elsewhere or nowhere.
    pub misplaced: Vec<ItemJson>,
    /// Readings that stand for nothing in the register.
    pub unknown: Vec<String>,
    /// Readings that had no effect.
    pub without_effect: Vec<WithoutEffectJson>,
    /// Records that were right.
    pub accuracy: AccuracyJson,
    /// What was put right, if that was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fixed: Option<FixedJson>,
}

/// A reading that had no effect.
#[derive(Debug, Serialize)]
pub struct WithoutEffectJson {
    /// As it was read.
    pub read: String,
    /// Why.
    pub reason: String,
}

/// What was put right after a count.
#[derive(Debug, Serialize)]
pub struct FixedJson {
    /// What is here from now on.
    pub moved: Vec<MoveJson>,
    /// The codes of what is gone from now on.
    pub gone: Vec<String>,
    /// The codes of what was left as it is.
    pub left: Vec<String>,
}

/// Correct records of records counted.
#[derive(Debug, Serialize)]
pub struct AccuracyJson {
    /// Records that were right.
    pub correct: u64,
    /// Records that were counted.
    pub counted: u64,
    /// From 0 to 1; nothing when no record was counted.
    pub ratio: Option<f64>,
}

/// A bin that is to be counted.
#[derive(Debug, Serialize)]
pub struct DueJson {
    /// The bin.
    #[serde(flatten)]
    pub bin: BinJson,
    /// The day of its last count.
    pub last_count: Option<String>,
    /// How many days ago that was.
    pub days: Option<i32>,
    /// Over all its counts.
    pub accuracy: AccuracyJson,
}

/// The accuracy of counts that have something in common.
#[derive(Debug, Serialize)]
pub struct AccuracyOfJson {
    /// The bin, if these are the counts of one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bin: Option<String>,
    /// The month, if these are the counts in one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub month: Option<String>,
    /// How many counts of a bin.
    pub counts: u32,
    /// Over these.
    #[serde(flatten)]
    pub accuracy: AccuracyJson,
}
