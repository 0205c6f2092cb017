//! How many may be connected at once, and who makes room.
//!
//! Start with [`Places::take`]. When all places are taken, the connection that has waited longest without a request is
//! closed for the new one: whoever holds connections open and asks nothing keeps nobody out.

use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex},
    time::Instant,
};

use tokio::sync::Notify;

use super::state::locked;

/// Places for connections.
#[derive(Debug)]
pub(super) struct Places {
    limit: usize,
    open: Mutex<Open>,
}

#[derive(Debug, Default)]
struct Open {
    next: u64,
    places: BTreeMap<u64, Seat>,
}

#[derive(Debug)]
struct Seat {
    /// Since when it waits for a request; `None` while one is answered.
    waits_since: Option<Instant>,
    leave: Arc<Notify>,
}

/// A place that a connection has, until this is dropped.
#[derive(Debug)]
pub(super) struct Place {
    places: Arc<Places>,
    number: u64,
    leave: Arc<Notify>,
}

impl Places {
    /// So many places.
    pub(super) fn new(limit: usize) -> Arc<Self> {
        Arc::new(Self { limit, open: Mutex::default() })
    }

    /// A place; `None` when all are taken by connections that are being answered.
    pub(super) fn take(self: &Arc<Self>) -> Option<Place> {
        let mut open = locked(&self.open);
        if open.places.len() >= self.limit {
            let (_, number) = open.places.iter().filter_map(|(at, seat)| Some((seat.waits_since?, *at))).min()?;
            open.places.remove(&number)?.leave.notify_one();
        }
        let (number, leave) = (open.next, Arc::new(Notify::new()));
        open.next += 1;
        open.places.insert(number, Seat { waits_since: Some(Instant::now()), leave: Arc::clone(&leave) });
        Some(Place { places: Arc::clone(self), number, leave })
    }

    fn note(&self, number: u64, waits_since: Option<Instant>) {
        if let Some(seat) = locked(&self.open).places.get_mut(&number) {
            seat.waits_since = waits_since;
        }
    }
}

impl Place {
    /// A request has come.
    pub(super) fn is_asked(&self) {
        self.places.note(self.number, None);
    }

    /// Its answer is made.
    pub(super) fn waits(&self) {
        self.places.note(self.number, Some(Instant::now()));
    }

    /// Ends when the place is wanted for another.
    pub(super) async fn left(&self) {
        self.leave.notified().await;
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        locked(&self.places.open).places.remove(&self.number);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_one_that_waits_longest_makes_room_and_none_that_is_being_answered() {
        let places = Places::new(2);
        let (first, second) = (places.take().unwrap(), places.take().unwrap());
        first.is_asked();
        let third = places.take().expect("the second waits");
        assert!(!locked(&places.open).places.contains_key(&second.number));
        third.is_asked();
        assert!(places.take().is_none());
        first.waits();
        assert!(places.take().is_some());
    }

    #[test]
    fn a_place_is_free_when_its_connection_is_gone() {
        let places = Places::new(1);
        let first = places.take().unwrap();
        first.is_asked();
        assert!(places.take().is_none());
        drop(first);
        assert!(places.take().is_some());
    }
}
