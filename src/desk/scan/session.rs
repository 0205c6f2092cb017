//! Sessions that go on: each belongs to a device, and is called by a number that its page was given.
//!
//! Start with [`Sessions::open`]. A session lives in memory: what it changes is in the register.

use std::{
    collections::{HashMap, VecDeque},
    sync::{Arc, Mutex, MutexGuard},
    time::{Duration, Instant},
};

use super::{said::Said, work::Work};
use crate::{
    desk::{
        answer::Refusal,
        pairing::new_secret,
        state::{Desk, locked},
    },
    register::DeviceId,
};

/// Sessions that are kept at once.
const MOST: usize = 200;
/// How long a session is kept that nobody goes on with.
const AGE: Duration = Duration::from_hours(16);
/// Answers that a session remembers.
const ANSWERS: usize = 500;
/// Characters of a number that a page makes up.
const ID: std::ops::RangeInclusive<usize> = 8..=80;

/// What a session is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(in crate::desk) enum Area {
    Stow,
    Pick,
    Count,
    Regroup,
}

impl Area {
    /// Where a photograph of a whole bin is taken.
    pub(super) const PHOTOGRAPHED: [Self; 2] = [Self::Stow, Self::Count];
    pub(super) const ALL: [Self; 4] = [Self::Stow, Self::Pick, Self::Count, Self::Regroup];

    /// Its name in addresses.
    pub(in crate::desk) fn name(self) -> &'static str {
        match self {
            Self::Stow => "stow",
            Self::Pick => "pick",
            Self::Count => "count",
            Self::Regroup => "regroup",
        }
    }

    /// The address of its page.
    pub(super) fn page(self) -> &'static str {
        match self {
            Self::Stow => "/stow",
            Self::Pick => "/pick",
            Self::Count => "/count",
            Self::Regroup => "/regroup/go",
        }
    }
}

/// Which session.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(in crate::desk) struct Key {
    pub device: DeviceId,
    pub area: Area,
    pub id: String,
}

/// A session, and when it was gone on with last.
type Live = (Instant, Arc<Mutex<Held>>);

/// The sessions of an open desk.
#[derive(Debug, Default)]
pub(in crate::desk) struct Sessions {
    all: Mutex<HashMap<Key, Live>>,
}

/// A session.
#[derive(Debug)]
pub(super) struct Held {
    pub work: Work,
    said: VecDeque<(String, Said)>,
}

impl Held {
    /// What was answered to this scan before.
    pub(super) fn before(&self, scan: &str) -> Option<Said> {
        self.said.iter().rev().find(|(id, _)| id == scan).map(|(_, said)| said.clone())
    }

    /// Remembers an answer.
    pub(super) fn remember(&mut self, scan: &str, said: &Said) {
        if self.said.len() >= ANSWERS {
            self.said.pop_front();
        }
        self.said.push_back((scan.to_owned(), said.clone()));
    }

    /// The last answer.
    pub(super) fn last(&self) -> Option<&Said> {
        self.said.back().map(|(_, said)| said)
    }

    /// How many readings were answered.
    pub(super) fn readings(&self) -> usize {
        self.said.len()
    }
}

impl Sessions {
    /// The session, if it goes on.
    pub(super) fn get(&self, key: &Key) -> Option<Arc<Mutex<Held>>> {
        let mut all = locked(&self.all);
        let (seen, held) = all.get_mut(key)?;
        *seen = Instant::now();
        Some(Arc::clone(held))
    }

    /// The session, begun with this work if it is new.
    pub(super) fn open(&self, key: Key, work: Work) -> Arc<Mutex<Held>> {
        let mut all = locked(&self.all);
        let now = Instant::now();
        all.retain(|_, (seen, _)| now.duration_since(*seen) < AGE);
        while all.len() >= MOST && !all.contains_key(&key) {
            let oldest = all.iter().min_by_key(|(_, (seen, _))| *seen).map(|(key, _)| key.clone());
            oldest.and_then(|key| all.remove(&key));
        }
        let held = || (now, Arc::new(Mutex::new(Held { work, said: VecDeque::new() })));
        Arc::clone(&all.entry(key).or_insert_with(held).1)
    }

    /// The device's session that was gone on with last.
    pub(super) fn latest(&self, device: DeviceId, area: Area) -> Option<String> {
        let all = locked(&self.all);
        let own = all.iter().filter(|(key, _)| key.device == device && key.area == area);
        own.max_by_key(|(_, (seen, _))| *seen).map(|(key, _)| key.id.clone())
    }

    /// Ends all sessions of a device.
    pub(in crate::desk) fn forget(&self, device: DeviceId) {
        locked(&self.all).retain(|key, _| key.device != device);
    }

    /// Ends a session.
    pub(super) fn end(&self, key: &Key) {
        locked(&self.all).remove(key);
    }
}

/// The lock of a session: its readings are taken one after the other.
pub(super) fn hold(held: &Mutex<Held>) -> MutexGuard<'_, Held> {
    locked(held)
}

impl Key {
    /// The session that a page names.
    pub(super) fn new(device: DeviceId, area: Area, id: &str) -> Result<Self, Refusal> {
        if !is_id(id) {
            return Err(Refusal::input("This page is not whole. Open it anew."));
        }
        Ok(Self { device, area, id: id.to_owned() })
    }

    /// Where the device goes on, or begins.
    pub(super) fn latest_or_new(desk: &Desk, device: DeviceId, area: Area) -> Result<String, Refusal> {
        desk.sessions.latest(device, area).map_or_else(new_id, Ok)
    }
}

/// A number that nobody has had before.
pub(super) fn new_id() -> Result<String, Refusal> {
    let mut id = new_secret()?;
    id.truncate(32);
    Ok(id)
}

/// Whether a text can be the number of a session or a scan.
pub(super) fn is_id(text: &str) -> bool {
    ID.contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
}
