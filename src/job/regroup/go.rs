//! A plan of moves carried out with a reader: what is scanned is taken, and a bin that is scanned takes what is in hand for
//! it.
//!
//! Start with [`RegroupGo::begin`], hand each reading to [`RegroupGo::take`], and ask [`RegroupGo::next`] where to go. The
//! trips are a guide: things may be taken and put in another order. Each reading is one change, on disk before the
//! answer is given.

use super::{Plan, plan_of, walk_key};
use crate::{
    code::BinCode,
    job::{
        Fill, Stockroom, StowRepair,
        reading::{Meaning, Unread, meaning},
    },
    register::{
        Bin, Carried, ChangeId, Found, Item, ItemId, MoveState, Register, RegisterError, Regroup, RegroupId,
        RegroupMove,
    },
    unit::{Volume, Weight},
};

/// The word that takes the last reading back.
const UNDO: &str = "undo";
/// The word before the code of an item that is not there; alone it stands for the one that is asked for next.
const MISSING: &str = "missing";

/// So many items are named in a line; the others come when these are done.
const MOST_NAMED: usize = 8;

/// A session.
#[derive(Debug)]
pub struct RegroupGo {
    plan: RegroupId,
    done: Vec<ChangeId>,
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
        over: Option<RoomWarning>,
    },
    /// The item is not there.
    Missing(RegroupMove, Box<Item>),
    /// The last reading was taken back; it was this.
    Undone(String),
}

/// A bin that holds more than it should.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RoomWarning {
    /// In volume.
    #[error("{bin} now holds more than its {} litres", most.litres())]
    Volume {
        /// Which.
        bin: BinCode,
        /// What it holds.
        most: Volume,
    },
    /// In weight.
    #[error("{bin} is now heavier than its {} kg", most.kilograms())]
    Weight {
        /// Which.
        bin: BinCode,
        /// What it may hold.
        most: Weight,
    },
}

/// Where to go next.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// Take these from a bin.
    Take(Visit),
    /// Put these into a bin.
    Put(Visit),
    /// The plan has ended.
    Nothing,
}

/// A visit to a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Visit {
    /// The trip.
    pub trip: u32,
    /// The bin.
    pub bin: Bin,
    /// What is taken or put there.
    pub items: Vec<(RegroupMove, Item)>,
}

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
    /// Nothing of this session is left to be taken back.
    #[error("nothing of this session is left to take back")]
    NothingToUndo,
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
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
    /// The bins with items whose code names another one.
    pub other_tags_in: Vec<BinCode>,
    /// How many items those are.
    pub other_tags: usize,
    /// How many of them are listed under that code.
    pub listed: usize,
}

impl RegroupGo {
    /// Takes the open plan up; `None` where there is none. What others have moved meanwhile is no part of it any more.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read or written.
    pub fn begin(register: &mut Register) -> Result<Option<Self>, RegisterError> {
        let Some(plan) = register.open_regroup()? else { return Ok(None) };
        let mut go = Self { plan: plan.id, done: Vec::new(), settled: Vec::new() };
        go.settle(register, &plan)?;
        Ok(Some(go))
    }

    /// The plan as it is now.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn plan(&self, register: &Register) -> Result<Plan, RegisterError> {
        plan_of(register, register.regroup(self.plan)?)
    }

    /// Moves that were found made or void since this was last asked, as they were before.
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

    /// Where to go next.
    ///
    /// # Errors
    /// [`RegisterError`] when the register can't be read.
    pub fn next(&self, register: &Register) -> Result<Next, RegisterError> {
        next(register, &register.regroup(self.plan)?)
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

    /// The plan, if it is still open, without what others have moved meanwhile.
    fn going_on(&mut self, register: &mut Register) -> Result<Regroup, GoRefusal> {
        let open = register.open_regroup()?.filter(|plan| plan.id == self.plan).ok_or(GoRefusal::Ended)?;
        if !self.settle(register, &open)? {
            return Ok(open);
        }
        register.open_regroup()?.filter(|plan| plan.id == self.plan).ok_or(GoRefusal::Ended)
    }

    fn settle(&mut self, register: &mut Register, plan: &Regroup) -> Result<bool, RegisterError> {
        let settled = register.settle_regroup(plan)?;
        for one in &settled {
            let item = register.item(one.item)?;
            self.settled.extend(item.map(|item| (one.clone(), item)));
        }
        Ok(!settled.is_empty())
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

/// The trip that is under way: the first on which something is left to be taken or put.
fn trip(plan: &Regroup) -> Option<u32> {
    let on = |one: &RegroupMove| match one.state {
        MoveState::Open => Some(one.taken_on),
        MoveState::Taken => Some(one.put_on),
        _ => None,
    };
    plan.moves.iter().filter_map(on).min()
}

/// What is in hand for a bin. What waits in the holding box for a later trip stays there, unless there is nothing else.
fn due(plan: &Regroup, bin: BinCode) -> Vec<RegroupMove> {
    let now = trip(plan).unwrap_or_default();
    let taken = plan.moves.iter().filter(|one| one.state == MoveState::Taken && one.to == bin);
    let (due, waiting): (Vec<_>, Vec<_>) = taken.cloned().partition(|one| !one.is_held() || one.put_on <= now);
    if due.is_empty() { waiting } else { due }
}

/// On a trip all is taken before anything is put.
fn next(register: &Register, plan: &Regroup) -> Result<Next, RegisterError> {
    let Some(trip) = trip(plan) else { return Ok(Next::Nothing) };
    let mut bins = register.bins(None)?;
    bins.sort_by_key(walk_key);
    let of = |state, on: fn(&RegroupMove) -> u32| {
        plan.moves.iter().filter(move |one| one.state == state && on(one) == trip).cloned().collect::<Vec<_>>()
    };
    let takes = of(MoveState::Open, |one| one.taken_on);
    let (moves, at): (Vec<RegroupMove>, fn(&RegroupMove) -> BinCode) = if takes.is_empty() {
        (of(MoveState::Taken, |one| one.put_on), |one| one.to)
    } else {
        (takes.clone(), |one| one.from)
    };
    let Some(bin) = bins.into_iter().find(|bin| moves.iter().any(|one| at(one) == bin.code)) else {
        return Ok(Next::Nothing);
    };
    let mut items = Vec::new();
    for one in moves.into_iter().filter(|one| at(one) == bin.code) {
        let item = register.item(one.item)?;
        items.extend(item.map(|item| (one, item)));
    }
    let visit = Visit { trip, bin, items };
    Ok(if takes.is_empty() { Next::Put(visit) } else { Next::Take(visit) })
}

impl Next {
    /// `take from 4A, Loft: 4A-001F, 4A-002C`
    #[must_use]
    pub fn expected(&self) -> String {
        match self {
            Self::Take(visit) => format!("take from {}", visit.text()),
            Self::Put(visit) => format!("put into {}", visit.text()),
            Self::Nothing => "nothing is left to do".into(),
        }
    }
}

impl Visit {
    /// `4A, Loft, rack 1: 4A-001F, 4A-002C`
    #[must_use]
    pub fn text(&self) -> String {
        let spot = self.bin.place.spot.as_ref().map(|spot| format!(", {}", spot.name)).unwrap_or_default();
        let names: Vec<String> = self.items.iter().take(MOST_NAMED).map(|(_, item)| item.name()).collect();
        let more = self.items.len().checked_sub(MOST_NAMED).filter(|more| *more > 0);
        let more = more.map(|more| format!(" and {more} more")).unwrap_or_default();
        format!("{}, {}{spot}: {}{more}", self.bin.code, self.bin.place.area_name, names.join(", "))
    }
}

/// Whether a bin is over its volume or weight once these are put. What is in hand is not in its bin any more.
fn over(
    register: &Register,
    plan: &Regroup,
    bin: &Bin,
    moves: &[RegroupMove],
) -> Result<Option<RoomWarning>, RegisterError> {
    let stockroom = Stockroom::of(register)?;
    let is_in_hand = |item: ItemId| of_item(plan, item).is_some_and(|one| one.state == MoveState::Taken);
    let is_put = |item: ItemId| moves.iter().any(|one| one.item == item);
    let mut fill = Fill::default();
    for stocked in &stockroom.items {
        let is_in = stockroom.bins[stocked.bin].code == bin.code && !is_in_hand(stocked.item);
        if is_in || is_put(stocked.item) {
            fill.add(&stocked.load);
        }
    }
    let volume = bin.room.volume.filter(|most| fill.millilitres > most.millilitres().into());
    let weight = bin.room.max_weight.filter(|most| fill.grams > most.grams().into());
    let volume = volume.map(|most| RoomWarning::Volume { bin: bin.code, most });
    Ok(volume.or(weight.map(|most| RoomWarning::Weight { bin: bin.code, most })))
}

fn ending(register: &Register, plan: &Plan) -> Result<Ending, RegisterError> {
    let mut empty = Vec::new();
    for one in &plan.kept.moves {
        let bin = register.bin(one.from)?;
        if bin.items == 0 && bin.is_live && !empty.contains(&bin.code) {
            empty.push(bin.code);
        }
    }
    let others: Vec<&Item> =
        plan.in_state(MoveState::Done).map(|(_, item)| item).filter(|item| item.tag_shows().is_some()).collect();
    let mut other_tags_in: Vec<BinCode> = others.iter().filter_map(|item| item.bin()).collect();
    other_tags_in.sort_unstable();
    other_tags_in.dedup();
    empty.sort_unstable();
    Ok(Ending {
        moved: plan.kept.count(MoveState::Done),
        void: plan.kept.count(MoveState::Void),
        missing: plan.in_state(MoveState::Missing).map(|(one, item)| (one.clone(), item.clone())).collect(),
        empty,
        other_tags_in,
        other_tags: others.len(),
        listed: others.iter().filter(|item| item.listed.is_some()).count(),
    })
}
