//! Why a reading of a session that carries out a plan of moves was refused.

use crate::{code::BinCode, job::reading::Unread, register::RegisterError};

/// Why a reading was refused. Nothing has been changed then.
#[derive(Debug, thiserror::Error)]
pub enum GoRefusal {
    /// It stands for nothing.
    #[error(transparent)]
    Unread(#[from] Unread),
    /// The item is no part of the plan.
    #[error("{item} stays where it is: it is not a part of the plan; next: {expected}")]
    NotPlanned {
        /// What it is called by.
        item: String,
        /// What is expected.
        expected: String,
    },
    /// The item was put already.
    #[error("{item} was put into {bin} already; next: {expected}")]
    PutBefore {
        /// What it is called by.
        item: String,
        /// Where it is.
        bin: BinCode,
        /// What is expected.
        expected: String,
    },
    /// The item came elsewhere by other ways.
    #[error("{item} is not to be moved any more, as it came elsewhere or left meanwhile; next: {expected}")]
    Void {
        /// What it is called by.
        item: String,
        /// What is expected.
        expected: String,
    },
    /// Nothing that is in hand goes into the bin.
    #[error("nothing that is in hand goes into {bin}; next: {expected}")]
    WrongBin {
        /// The bin.
        bin: BinCode,
        /// What is expected.
        expected: String,
    },
    /// `missing` came where nothing is asked for.
    #[error("`missing` alone stands for the item that is to be taken next; name the one that is not there behind it")]
    NothingToTake,
    /// `missing` came with a bin.
    #[error("{0} is a bin; name the item that is not there behind `missing`")]
    MissingBin(BinCode),
    /// The plan has ended.
    #[error("the plan has ended; `undo` takes the last reading back, `stowmark regroup plan` makes a new plan")]
    Ended,
    /// Somebody has ended the plan before all of it was done.
    #[error("the plan was dropped meanwhile, and nothing of it is moved or taken back here; `stowmark undo` can")]
    Dropped,
    /// Nothing of this session is left to be taken back.
    #[error("nothing of this session is left to take back")]
    NothingToUndo,
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}
