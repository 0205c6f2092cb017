//! Files that were given to the desk and wait for a word from the user: kept in memory, never on the disk.
//!
//! Each belongs to the device that gave it. There is room for a few; the oldest gives way, but for those that are in work.

use std::sync::{Arc, Mutex};

use super::super::{answer::Refusal, pairing::new_secret, state::locked};
use crate::{
    exchange::RefusedRow,
    register::{ChangeId, DeviceId},
};

/// So many are kept.
const KEPT: usize = 6;

/// All files that wait.
#[derive(Debug, Default)]
pub(in super::super) struct Drafts(Mutex<Vec<Arc<Upload>>>);

/// A file that was given.
#[derive(Debug)]
pub(in crate::desk) struct Upload {
    /// Nobody guesses it.
    pub id: String,
    device: DeviceId,
    /// Its name where it came from.
    pub name: String,
    pub bytes: Vec<u8>,
    pub state: Mutex<State>,
}

/// How far it is.
#[derive(Debug, Clone, Default)]
pub(in crate::desk) enum State {
    /// Looked at.
    #[default]
    Open,
    /// On its way into the register; the page of that work.
    Entering(String),
    /// In.
    Entered(Arc<Outcome>),
    /// A list of orders that is in.
    Sold(Arc<Sold>),
}

/// What came in.
#[derive(Debug, Default)]
pub(in crate::desk) struct Outcome {
    /// The codes of the new items, and of those that wait their numbers.
    pub new: Vec<(String, String)>,
    pub waiting: usize,
    pub changed: usize,
    pub unchanged: usize,
    pub refused: usize,
    pub refused_csv: Vec<u8>,
    pub change: Option<ChangeId>,
    pub warnings: Vec<String>,
}

/// What was sold.
#[derive(Debug, Default)]
pub(in crate::desk) struct Sold {
    /// The codes of the items and their titles.
    pub items: Vec<(String, String)>,
    pub refused: Vec<RefusedRow>,
    pub refused_csv: Vec<u8>,
    pub change: Option<ChangeId>,
}

impl Upload {
    /// What came of a list of orders that is in.
    pub(in crate::desk) fn sold(&self) -> Option<Arc<Sold>> {
        if let State::Sold(sold) = &*locked(&self.state) { Some(Arc::clone(sold)) } else { None }
    }
}

impl Drafts {
    /// Takes a file, and gives the name that it is called by.
    pub(in crate::desk) fn keep(&self, device: DeviceId, name: String, bytes: Vec<u8>) -> Result<String, Refusal> {
        let id = new_secret()?;
        let upload = Upload { id: id.clone(), device, name, bytes, state: Mutex::default() };
        let mut all = locked(&self.0);
        while all.len() >= KEPT {
            // Whoever works with a file holds it too: what comes of it is still to be shown.
            let Some(idle) = all.iter().position(|one| Arc::strong_count(one) == 1) else { break };
            all.remove(idle);
        }
        all.push(Arc::new(upload));
        Ok(id)
    }

    /// The file that this device calls so.
    pub(in crate::desk) fn get(&self, device: DeviceId, id: &str) -> Result<Arc<Upload>, Refusal> {
        let found = locked(&self.0).iter().find(|one| one.id == id && one.device == device).cloned();
        found.ok_or_else(|| Refusal::nothing("This file is not kept any more. Choose it again."))
    }

    /// Forgets a file.
    pub(in crate::desk) fn forget(&self, id: &str) {
        locked(&self.0).retain(|one| one.id != id);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn files_belong_to_their_device_and_the_oldest_gives_way() {
        let (drafts, mine) = (Drafts::default(), DeviceId::new(1));
        let first = drafts.keep(mine, "buys.csv".into(), b"title\nPan\n".to_vec()).unwrap();
        assert_eq!(drafts.get(mine, &first).unwrap().name, "buys.csv");
        assert!(drafts.get(DeviceId::new(2), &first).is_err());
        for _ in 0..KEPT {
            drafts.keep(mine, "more.csv".into(), Vec::new()).unwrap();
        }
        assert!(drafts.get(mine, &first).is_err());
    }

    #[test]
    fn a_file_in_work_does_not_give_way() {
        let (drafts, mine) = (Drafts::default(), DeviceId::new(1));
        let keep = || drafts.keep(mine, "more.csv".into(), Vec::new()).unwrap();
        let first = keep();
        let in_work = drafts.get(mine, &first).unwrap();
        let second = keep();
        (1..KEPT).for_each(|_| drop(keep()));
        assert!(drafts.get(mine, &first).is_ok() && drafts.get(mine, &second).is_err());
        drop(in_work);
        keep();
        assert!(drafts.get(mine, &first).is_err());
    }
}
