//! Which items move where, so that as many bins as possible become free with as few moves as possible.
//!
//! Start with [`regroup`]. Bins and items are plain data: nothing of what is decided here is known to be carried out.
//! A bin of which no volume is known can be emptied, and nothing is moved into it.

use super::Load;

/// What a bin holds at most.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Capacity {
    /// Its usable volume; without one nothing is moved into it.
    pub millilitres: Option<u32>,
    /// The most that its contents may weigh.
    pub grams: Option<u32>,
    /// The longest edge that fits in.
    pub longest_mm: Option<u32>,
}

/// What is asked of a bin.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum BinRule {
    /// It may be emptied or filled.
    #[default]
    Any,
    /// What is in it stays there; it may take more.
    Keep,
    /// All that is in it moves out, and nothing in.
    Empty,
}

/// A bin to be planned with.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tub {
    /// What it holds.
    pub capacity: Capacity,
    /// The number of its area.
    pub area: u16,
    /// What is asked of it.
    pub rule: BinRule,
}

/// An item to be planned with.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Thing {
    /// The place of its bin among the bins.
    pub tub: usize,
    /// What it takes up.
    pub load: Load,
    /// What it is to be kept together with: all that have the same number.
    pub group: Option<usize>,
}

/// What is wanted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Wish {
    /// At most so many bins are freed, beside those that are to be emptied; else as many as possible.
    pub free: Option<usize>,
    /// How many steps the search may take; the same steps give the same plan on any machine.
    pub steps: u64,
}

/// A plan.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Regrouping {
    /// Which things move, by their place, and the places of the bins that they go to; by thing.
    pub moves: Vec<(usize, usize)>,
    /// The bins that become free, by their place. Those that are empty already are not among them.
    pub freed: Vec<usize>,
    /// How many bins have something in them afterwards.
    pub used: usize,
    /// No plan uses fewer bins than this.
    pub lower_bound: usize,
    /// Whether no plan is better.
    pub proven: bool,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RegroupError {
    /// What is in bins that are to be emptied does not fit elsewhere.
    #[error("what is in the bins to be emptied does not fit into the others")]
    NoRoom {
        /// Things that are left over.
        left: Vec<usize>,
    },
}

/// What is in a bin, and what it holds.
#[derive(Debug, Clone, Copy)]
struct State {
    capacity: Capacity,
    millilitres: u64,
    grams: u64,
    things: usize,
}

impl State {
    fn takes(&self, load: &Load) -> bool {
        let volume = self.millilitres + u64::from(load.millilitres);
        let weight = self.grams + u64::from(load.grams);
        self.capacity.millilitres.is_some_and(|most| volume <= u64::from(most))
            && self.capacity.grams.is_none_or(|most| weight <= u64::from(most))
            && load.longest_mm.zip(self.capacity.longest_mm).is_none_or(|(edge, most)| edge <= most)
    }

    fn left(&self) -> u64 {
        u64::from(self.capacity.millilitres.unwrap_or_default()).saturating_sub(self.millilitres)
    }

    fn add(&mut self, load: &Load) {
        self.millilitres += u64::from(load.millilitres);
        self.grams += u64::from(load.grams);
        self.things += 1;
    }
}

/// The moves that empty a bin, and what is in all bins then.
type Emptied = (Vec<(usize, usize)>, Vec<State>);

/// Plans which things move.
///
/// # Errors
/// [`RegroupError::NoRoom`] when bins that are to be emptied can't be.
pub fn regroup(tubs: &[Tub], things: &[Thing], wish: &Wish) -> Result<Regrouping, RegroupError> {
    let mut states = states(tubs, things);
    let mut moves: Vec<(usize, usize)> = Vec::new();
    let (mut freed, mut closed) = (Vec::new(), vec![false; tubs.len()]);
    for tub in order(tubs, &states) {
        let must = tubs[tub].rule == BinRule::Empty;
        let is_enough = wish.free.is_some_and(|most| freed.len() >= most);
        if states[tub].things == 0 || (!must && (is_enough || moves.iter().any(|(_, to)| *to == tub))) {
            continue;
        }
        closed[tub] = true;
        match empty(tub, tubs, things, &closed, &states) {
            Ok((own, after)) => {
                (states, freed) = (after, [freed, vec![tub]].concat());
                moves.extend(own);
            }
            Err(left) if must => return Err(RegroupError::NoRoom { left }),
            Err(_) => closed[tub] = false,
        }
    }
    moves.sort_unstable();
    freed.sort_unstable();
    let used = states.iter().filter(|state| state.things > 0).count();
    Ok(Regrouping { moves, freed, used, lower_bound: usize::from(used > 0), proven: used <= 1 })
}

fn states(tubs: &[Tub], things: &[Thing]) -> Vec<State> {
    let empty = |tub: &Tub| State { capacity: tub.capacity, millilitres: 0, grams: 0, things: 0 };
    let mut states: Vec<State> = tubs.iter().map(empty).collect();
    for thing in things {
        states[thing.tub].add(&thing.load);
    }
    states
}

/// Those that must be emptied, then the emptiest ones.
fn order(tubs: &[Tub], states: &[State]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..tubs.len()).filter(|tub| tubs[*tub].rule != BinRule::Keep).collect();
    order.sort_by_key(|tub| (tubs[*tub].rule != BinRule::Empty, states[*tub].things, states[*tub].millilitres));
    order
}

/// The moves that empty a bin, the largest things first and each where it fits best; else what is left over.
fn empty(tub: usize, tubs: &[Tub], things: &[Thing], closed: &[bool], states: &[State]) -> Result<Emptied, Vec<usize>> {
    let (mut states, mut moves, mut left) = (states.to_vec(), Vec::new(), Vec::new());
    let mut own: Vec<usize> = (0..things.len()).filter(|thing| things[*thing].tub == tub).collect();
    own.sort_by_key(|thing| std::cmp::Reverse(things[*thing].load.millilitres));
    for thing in own {
        let load = &things[thing].load;
        let open = (0..tubs.len()).filter(|to| !closed[*to] && tubs[*to].rule != BinRule::Empty);
        let fits = open.filter(|to| states[*to].things > 0 && states[*to].takes(load));
        match fits.min_by_key(|to| states[*to].left()) {
            Some(to) => {
                states[to].add(load);
                moves.push((thing, to));
            }
            None => left.push(thing),
        }
    }
    let after = |mut states: Vec<State>| {
        states[tub] = State { millilitres: 0, grams: 0, things: 0, ..states[tub] };
        states
    };
    if left.is_empty() { Ok((moves, after(states))) } else { Err(left) }
}
