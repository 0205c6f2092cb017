//! Work on many things at once, on all cores of the machine, with the answers in the order of the
//! questions.
//!
//! Start with [`map`]. What is done to one thing must not depend on the others: the answers are the
//! same whatever the number of threads.

use std::{
    num::NonZero,
    sync::atomic::{AtomicUsize, Ordering::Relaxed},
    thread,
};

/// How many threads run at once on this machine.
#[must_use]
pub fn threads() -> usize {
    thread::available_parallelism().map_or(1, NonZero::get)
}

/// Does the same to each, on all cores.
pub fn map<T: Sync, R: Send>(things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    map_on(threads(), things, work)
}

/// Does the same to each on so many threads, of which the present one is one.
pub fn map_on<T: Sync, R: Send>(threads: usize, things: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let threads = threads.min(things.len());
    if threads <= 1 {
        return things.iter().map(work).collect();
    }
    // Short pieces keep the threads equally long at work, whole ones keep them from the counter.
    let piece = (things.len() / (threads * 16)).clamp(1, 64);
    let next = AtomicUsize::new(0);
    let mut done = thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(|| share(things, piece, &next, &work))).collect();
        let mut done = share(things, piece, &next, &work);
        for other in others {
            done.extend(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        done
    });
    done.sort_unstable_by_key(|(start, _)| *start);
    done.into_iter().flat_map(|(_, answers)| answers).collect()
}

/// Takes pieces while there are any; each with the place where it begins.
fn share<T, R>(things: &[T], piece: usize, next: &AtomicUsize, work: &impl Fn(&T) -> R) -> Vec<(usize, Vec<R>)> {
    let mut done = Vec::new();
    loop {
        let start = next.fetch_add(piece, Relaxed);
        if start >= things.len() {
            return done;
        }
        let end = things.len().min(start + piece);
        done.push((start, things[start..end].iter().map(work).collect()));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_come_in_the_order_of_the_questions() {
        for count in [0, 1, 2, 63, 64, 65, 1000] {
            let things: Vec<usize> = (0..count).collect();
            let expected: Vec<usize> = things.iter().map(|thing| thing * 3).collect();
            for threads in [0, 1, 2, 3, 7, 64] {
                assert_eq!(map_on(threads, &things, |thing| thing * 3), expected, "{count} on {threads}");
            }
        }
    }

    #[test]
    #[should_panic(expected = "thing 40")]
    fn a_panic_is_passed_on() {
        let things: Vec<usize> = (0..100).collect();
        map_on(2, &things, |thing| assert!(*thing != 40, "thing {thing}"));
    }
}
