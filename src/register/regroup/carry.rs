//! A plan of moves carried out: things are taken, missed and put.
//!
//! Start with [`Register::mark_move`] and [`Register::put_moves`]. That a move's trip has come is not checked.

use std::collections::BTreeSet;

use super::{Carried, MoveState, Regroup, RegroupId, RegroupMove, keep::end_in, read::moves_in};
use crate::{
    code::BinCode,
    register::{
        Bin, ChangeId, Register, RegisterError, bin::live_bin_in, change::Change, item::move_in, row::RegroupMoveRow,
        sale::present_in,
    },
    unit::count,
};

impl Register {
    /// Refuses a plan that still moves things into a bin that was retired meanwhile.
    ///
    /// # Errors
    /// [`RegisterError::RegroupBinRetired`].
    pub fn refuse_retired_targets(&self, plan: &Regroup) -> Result<(), RegisterError> {
        let targets: BTreeSet<BinCode> =
            plan.moves.iter().filter(|one| one.state.is_left()).map(|one| one.to).collect();
        for code in targets {
            if let Some(since) = self.bin(code)?.retired {
                return Err(RegisterError::RegroupBinRetired { bin: code, since });
            }
        }
        Ok(())
    }

    /// Says that the item of a move was taken, or that it is not there.
    ///
    /// # Errors
    /// [`RegisterError::RegroupChanged`] when others have gone on with the move meanwhile.
    pub fn mark_move(
        &mut self,
        plan: RegroupId,
        one: &RegroupMove,
        state: MoveState,
    ) -> Result<Option<ChangeId>, RegisterError> {
        let name = self.item(one.item)?.map(|item| item.name()).unwrap_or_default();
        let what = match state {
            MoveState::Missing => format!("{name} is missing in {}", one.from),
            _ => format!("take {name} from {} for {}", one.from, one.to),
        };
        let change = self.begin(&what)?;
        settle_in(&change, plan)?;
        set_move_in(&change, one, state)?;
        end_in(&change, plan)?;
        change.commit()
    }

    /// Puts the items of moves into the bin that they go to, all of them or none.
    ///
    /// # Errors
    /// [`RegisterError::RegroupChanged`] as in [`Self::mark_move`]; those of [`Self::move_items`].
    pub fn put_moves(
        &mut self,
        plan: RegroupId,
        bin: &Bin,
        moves: &[RegroupMove],
    ) -> Result<(Vec<Carried>, Option<ChangeId>), RegisterError> {
        let change = self.begin(&format!("put {} into {} as planned", count(moves.len() as u64, "item"), bin.code))?;
        let target = live_bin_in(&change, bin.code)?;
        settle_in(&change, plan)?;
        let mut put = Vec::new();
        for one in moves {
            let item = present_in(&change, one.item)?;
            if let Some(moved) = move_in(&change, &item, &target)? {
                put.push((present_in(&change, one.item)?, moved));
            }
            set_move_in(&change, one, MoveState::Done)?;
        }
        end_in(&change, plan)?;
        Ok((put, change.commit()?))
    }
}

/// What the journal calls it.
fn state_words(state: MoveState) -> &'static str {
    match state {
        MoveState::Open => "to be moved",
        MoveState::Taken => "taken to be moved",
        MoveState::Done => "moved as planned",
        MoveState::Missing => "not found where it was to be taken",
        MoveState::Void => "not to be moved any more",
    }
}

/// Puts on record what others have done meanwhile.
pub(super) fn settle_in(change: &Change<'_>, plan: RegroupId) -> Result<(), RegisterError> {
    for one in moves_in(change, plan)?.iter().filter(|one| one.is_overtaken()) {
        set_move_in(change, one, one.state)?;
    }
    Ok(())
}

/// Refused where another session was quicker.
fn set_move_in(change: &Change<'_>, one: &RegroupMove, state: MoveState) -> Result<(), RegisterError> {
    change.rewrite::<RegroupMoveRow>(state_words(state), &one.id.into(), |row| {
        let is_as_seen = row.state == one.kept.word() && row.item == one.item.0;
        if !is_as_seen {
            return Err(RegisterError::RegroupChanged);
        }
        row.state = state.word().into();
        Ok(())
    })?;
    Ok(())
}
