//! A plan of moves carried out with a reader: what is scanned is taken, and a bin that is scanned takes what is in hand for
//! it.
//!
//! Start with [`RegroupGo::begin`], hand each reading to [`RegroupGo::take`], and ask [`RegroupGo::next`] where to go. The
//! trips are a guide: things may be taken and put in another order. Each reading is one change, on disk before the
//! answer is given.

use std::collections::{BTreeSet, HashSet};

use super::{
    GoRefusal, Next, Plan,
    next::{next, trip},
    plan_of,
};
use crate::{
    code::BinCode,
    job::{
        RetagCost, RoomWarning, RoomWatch, StowRepair, moved_cost,
        reading::{Meaning, meaning},
    },
    register::{
        Bin, Carried, ChangeId, Found, Item, ItemFilter, ItemId, MoveState, Register, RegisterError, Regroup,
        RegroupId, RegroupMove, Status,
    },
};

/// The word that takes the last reading back.
const UNDO: &str = "undo";
/// The word before the code of an item that is not there; alone it stands for the one that is asked for next.
const MISSING: &str = "missing";

/// A session.
#[derive(Debug)]
pub struct RegroupGo {
    plan: RegroupId,
    done: Vec<ChangeId>,
    /// Items of moves that others have made, or made void, which was told already.
    told: HashSet<ItemId>,
    settled: Vec<(RegroupMove, Item)>,
}

/// What became of a reading.
#[derive(Debug, Clone, PartialEq)]
pub enum Going {
    /// The item is in hand now.
    Taken(RegroupMove, Box<Item>),
    /// The item was in hand already.
    InHand(RegroupMove, Box<Item>),
    /// What was in hand for this bin is in it now.
    Put {
        /// The bin.
        bin: Box<Bin>,
        /// What was put.
        put: Vec<Carried>,
        /// Where it is too much for the bin.
        over: Vec<RoomWarning>,
    },
    /// The item is not there.
    Missing(RegroupMove, Box<Item>),
    /// The last reading was taken back; it was this.
    Undone(String),
}

/// What is to be said when a plan has come to its end.
#[derive(Debug, Clone, PartialEq)]
pub struct Ending {
    /// How many items were moved.
    pub moved: usize,
    /// How many came elsewhere by other ways, or left.
    pub void: usize,
    /// Those that were not there, and the bins that the register has them in.
    pub missing: Vec<(RegroupMove, Item)>,
    /// Bins of the plan with nothing in them.
    pub empty: Vec<BinCode>,
    /// The bins into which items were moved whose code names another one.
    pub other_tags_in: Vec<BinCode>,
    /// What new codes would cost for all of what is in those bins.
    pub other_tags: RetagCost,
}

impl RegroupGo {
    /// Takes the open plan up; `None` where there is none. What others have moved meanwhile is no part of it any more.
    ///
    /// # Errors
    /// [`RegisterError::RegroupBinRetired`]; [`RegisterError`] when the register can't be read or written.
    pub fn begin(register: &mut Register) -> Result<Option<Self>, RegisterError> {
        let Some(plan) = register.open_regroup()? else { return Ok(None) };
        register.refuse_retired_targets(&plan)?;
        let mut go = Self { plan: plan.id, done: Vec::new(), told: HashSet::new(), settled: Vec::new() };
        go.settle(register, &plan)?;
        Ok(Some(go))
    }

    /// Which plan it carries out.
    #[must_use]
    pub fn plan_id(&self) -> RegroupId {
        self.plan
    }

    /// Whether a reading of this session is left to be taken back.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        !self.done.is_empty()
    }

    /// The plan as it is now.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn plan(&self, register: &Register) -> Result<Plan, RegisterError> {
        plan_of(register, register.regroup(self.plan)?)
    }

    /// Moves that were found made by others, or void, since this was last asked.
    pub fn settled(&mut self) -> Vec<(RegroupMove, Item)> {
        std::mem::take(&mut self.settled)
    }

    /// Does what a reading says; `is_cut` when it was too long to be kept.
    ///
    /// # Errors
    /// [`GoRefusal`]; the session goes on.
    pub fn take(
        &mut self,
        register: &mut Register,
        text: &str,
        is_cut: bool,
    ) -> Result<(Going, StowRepair), GoRefusal> {
        if register.is_regroup_dropped(self.plan)? {
            return Err(GoRefusal::Dropped);
        }
        if text.trim().eq_ignore_ascii_case(UNDO) {
            return Ok((self.undo(register)?, None));
        }
        let plan = self.going_on(register)?;
        if let Some(rest) = behind_missing(text) {
            return self.missing(register, &plan, rest);
        }
        match meaning(register, text, is_cut)? {
            Meaning::Nothing(why) => Err(why.into()),
            Meaning::Found(Found::Item(item), repair) => Ok((self.item(register, &plan, item)?, repair)),
            Meaning::Found(Found::Bin(bin), repair) => Ok((self.bin(register, &plan, bin)?, repair)),
        }
    }

    /// Where to go next; nowhere once the plan has ended, or can't go on.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn next(&self, register: &Register) -> Result<Next, RegisterError> {
        let open = register.open_regroup()?.filter(|plan| plan.id == self.plan);
        match open.filter(|plan| register.refuse_retired_targets(plan).is_ok()) {
            Some(plan) => next(register, &plan),
            None => Ok(Next::Nothing),
        }
    }

    /// What is to be said at the end of the plan; `None` while something is left to do.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn ending(&self, register: &Register) -> Result<Option<Ending>, RegisterError> {
        let plan = self.plan(register)?;
        let is_left = plan.kept.moves.iter().any(|one| one.state.is_left());
        if is_left { Ok(None) } else { ending(register, &plan).map(Some) }
    }

    /// The plan, if it is still open and something is left of it.
    fn going_on(&mut self, register: &mut Register) -> Result<Regroup, GoRefusal> {
        let open = register.open_regroup()?.filter(|plan| plan.id == self.plan).ok_or(GoRefusal::Ended)?;
        if self.settle(register, &open)? {
            return Err(GoRefusal::Ended);
        }
        register.refuse_retired_targets(&open)?;
        Ok(open)
    }

    /// Looks at what others have done meanwhile: it goes on record with the next reading, or at once where nothing is
    /// left of the plan. Says whether that is so.
    fn settle(&mut self, register: &mut Register, plan: &Regroup) -> Result<bool, RegisterError> {
        let overtaken: Vec<&RegroupMove> = plan.moves.iter().filter(|one| one.is_overtaken()).collect();
        for one in overtaken.iter().filter(|one| !self.told.contains(&one.item)) {
            let item = register.item(one.item)?;
            self.settled.extend(item.map(|item| ((*one).clone(), item)));
        }
        self.told = overtaken.iter().map(|one| one.item).collect();
        let is_over = !plan.moves.iter().any(|one| one.state.is_left());
        if is_over {
            register.end_regroup(plan.id)?;
        }
        Ok(is_over)
    }

    fn item(&mut self, register: &mut Register, plan: &Regroup, item: Item) -> Result<Going, GoRefusal> {
        let name = item.name();
        let expected = || Ok::<_, RegisterError>(next(register, plan)?.expected());
        let Some(one) = of_item(plan, item.id()) else {
            return Err(GoRefusal::NotPlanned { item: name, expected: expected()? });
        };
        match one.state {
            MoveState::Done => {
                let bin = item.bin().unwrap_or(one.to);
                Err(GoRefusal::PutBefore { item: name, bin, expected: expected()? })
            }
            MoveState::Void => Err(GoRefusal::Void { item: name, expected: expected()? }),
            MoveState::Taken => Ok(Going::InHand(one.clone(), Box::new(item))),
            MoveState::Open | MoveState::Missing => {
                let change = register.mark_move(self.plan, one, MoveState::Taken)?;
                self.done.extend(change);
                Ok(Going::Taken(one.in_state(MoveState::Taken), Box::new(item)))
            }
        }
    }

    fn bin(&mut self, register: &mut Register, plan: &Regroup, bin: Bin) -> Result<Going, GoRefusal> {
        let moves = due(plan, bin.code);
        if moves.is_empty() {
            let expected = next(register, plan)?.expected();
            return Err(GoRefusal::WrongBin { bin: bin.code, expected });
        }
        let over = over(register, plan, &bin, &moves)?;
        let (put, change) = register.put_moves(self.plan, &bin, &moves)?;
        self.done.extend(change);
        Ok(Going::Put { bin: Box::new(bin), put, over })
    }

    fn missing(
        &mut self,
        register: &mut Register,
        plan: &Regroup,
        rest: &str,
    ) -> Result<(Going, StowRepair), GoRefusal> {
        let (item, repair) = if rest.is_empty() {
            let Next::Take(visit) = next(register, plan)? else { return Err(GoRefusal::NothingToTake) };
            let item = visit.items.into_iter().next().map(|(_, item)| item);
            (item.ok_or(GoRefusal::NothingToTake)?, None)
        } else {
            match meaning(register, rest, false)? {
                Meaning::Nothing(why) => return Err(why.into()),
                Meaning::Found(Found::Bin(bin), _) => return Err(GoRefusal::MissingBin(bin.code)),
                Meaning::Found(Found::Item(item), repair) => (item, repair),
            }
        };
        let expected = || Ok::<_, RegisterError>(next(register, plan)?.expected());
        let Some(one) = of_item(plan, item.id()).filter(|one| one.state.is_left()) else {
            return Err(GoRefusal::NotPlanned { item: item.name(), expected: expected()? });
        };
        self.done.extend(register.mark_move(self.plan, one, MoveState::Missing)?);
        Ok((Going::Missing(one.in_state(MoveState::Missing), Box::new(item)), repair))
    }

    /// What others have built on stays, and stays the next to be taken back.
    fn undo(&mut self, register: &mut Register) -> Result<Going, GoRefusal> {
        let change = self.done.last().copied().ok_or(GoRefusal::NothingToUndo)?;
        let undone = register.undo(&[change]);
        if matches!(undone, Ok(_) | Err(RegisterError::UndoneBefore(_))) {
            self.done.pop();
        }
        Ok(Going::Undone(undone?.into_iter().map(|change| change.what).collect()))
    }
}

/// What stands behind the word, if the reading begins with it.
fn behind_missing(text: &str) -> Option<&str> {
    let text = text.trim();
    let (word, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    word.eq_ignore_ascii_case(MISSING).then(|| rest.trim())
}

fn of_item(plan: &Regroup, item: ItemId) -> Option<&RegroupMove> {
    plan.moves.iter().find(|one| one.item == item)
}

/// What is in hand for a bin. What waits in the holding box for a later trip stays there, unless there is nothing else.
fn due(plan: &Regroup, bin: BinCode) -> Vec<RegroupMove> {
    let now = trip(plan).unwrap_or_default();
    let taken = plan.moves.iter().filter(|one| one.state == MoveState::Taken && one.to == bin);
    let (due, waiting): (Vec<_>, Vec<_>) = taken.cloned().partition(|one| !one.is_held() || one.put_on <= now);
    if due.is_empty() { waiting } else { due }
}

/// What is to be said of a bin once these are put. What is in hand is not in its bin any more.
fn over(
    register: &Register,
    plan: &Regroup,
    bin: &Bin,
    moves: &[RegroupMove],
) -> Result<Vec<RoomWarning>, RegisterError> {
    let mut watch = RoomWatch::of(register)?;
    for one in plan.moves.iter().filter(|one| one.state == MoveState::Taken) {
        watch.moved(one.item, Some(one.from), None);
    }
    for one in moves {
        watch.moved(one.item, None, Some(bin.code));
    }
    Ok(watch.over(bin.code))
}

fn ending(register: &Register, plan: &Plan) -> Result<Ending, RegisterError> {
    let mut empty = Vec::new();
    for one in &plan.kept.moves {
        let bin = register.bin(one.from)?;
        if bin.items == 0 && bin.is_live && !empty.contains(&bin.code) {
            empty.push(bin.code);
        }
    }
    let is_other = |item: &&Item| item.tag_shows().is_some() && item.status != Status::Sold;
    let moved = plan.in_state(MoveState::Done).map(|(_, item)| item);
    let bins: BTreeSet<BinCode> = moved.filter(is_other).filter_map(Item::bin).collect();
    let mut inside = Vec::new();
    for bin in &bins {
        inside.extend(register.items(&ItemFilter { bin: Some(*bin), ..ItemFilter::stowed() })?);
    }
    empty.sort_unstable();
    Ok(Ending {
        moved: plan.kept.count(MoveState::Done),
        void: plan.kept.count(MoveState::Void),
        missing: plan.in_state(MoveState::Missing).map(|(one, item)| (one.clone(), item.clone())).collect(),
        empty,
        other_tags_in: bins.into_iter().collect(),
        other_tags: moved_cost(register, &inside)?,
    })
}
