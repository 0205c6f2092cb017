//! The PDFs that are looked at before they are printed, and their pages as pictures.
//!
//! Start with [`Previews::turn`] and [`Previews::keep`]; [`picture`] draws a page. Few are kept, in memory alone; a page
//! of one that has gone is made anew when the Labels page is. A device has one made at a time, and none that its browser
//! no longer waits for.

use std::{
    collections::{HashMap, VecDeque},
    sync::{Arc, Mutex, Weak},
};

use axum::{
    extract::{Path, State},
    http::header,
    response::IntoResponse,
};
use tokio::sync::{Mutex as Gate, OwnedMutexGuard};

use super::super::{
    answer::Refusal,
    state::{Desk, locked, on_a_thread},
};
use crate::{
    output::{OpenPdf, sha256},
    register::DeviceId,
    unit::{Dpi, Size, UnitError},
};

/// How many are kept.
const KEPT: usize = 6;
/// How large they may be together; the newest is kept whatever its size.
const MOST_BYTES: usize = 64 * 1024 * 1024;
/// Sharp enough for a screen; a label that is a page by itself is shown larger.
const PAGE_DPI: f64 = 120.0;
const LABEL_DPI: f64 = 240.0;
const LABEL_WIDTH: f64 = 120.0;

/// PDFs by their SHA-256, the newest last.
#[derive(Debug, Default)]
pub(in crate::desk) struct Previews {
    all: Mutex<VecDeque<(String, Arc<Vec<u8>>)>>,
    /// What the devices pass that have one made or wait for that.
    gates: Mutex<HashMap<DeviceId, Arc<Gate<()>>>>,
}

/// A request that waits for its preview. It is dropped with the request when the browser goes away, or asks for another
/// preview instead.
#[derive(Debug)]
pub(super) struct Asked {
    _here: Arc<()>,
}

/// A device's turn: until this is dropped no other preview is made for it.
#[derive(Debug)]
pub(super) struct Turn {
    _gate: OwnedMutexGuard<()>,
    asked: Weak<()>,
}

impl Turn {
    /// Whether nobody waits for it any more.
    pub(super) fn is_over(&self) -> bool {
        self.asked.strong_count() == 0
    }
}

impl Previews {
    /// Waits for the device's turn. A request that ends meanwhile gives its turn to the next.
    pub(super) async fn turn(&self, device: DeviceId) -> (Asked, Turn) {
        let gate = self.gate(device).lock_owned().await;
        let here = Arc::new(());
        let turn = Turn { _gate: gate, asked: Arc::downgrade(&here) };
        (Asked { _here: here }, turn)
    }

    fn gate(&self, device: DeviceId) -> Arc<Gate<()>> {
        let mut gates = locked(&self.gates);
        gates.retain(|_, gate| Arc::strong_count(gate) > 1);
        Arc::clone(gates.entry(device).or_default())
    }

    /// Keeps one and gives its SHA-256.
    pub(super) fn keep(&self, bytes: Vec<u8>) -> String {
        let hash = sha256(&bytes);
        let mut all = locked(&self.all);
        all.retain(|(known, _)| *known != hash);
        all.push_back((hash.clone(), Arc::new(bytes)));
        let size = |all: &VecDeque<(String, Arc<Vec<u8>>)>| all.iter().map(|(_, bytes)| bytes.len()).sum::<usize>();
        while all.len() > KEPT || all.len() > 1 && size(&all) > MOST_BYTES {
            all.pop_front();
        }
        hash
    }

    fn get(&self, hash: &str) -> Option<Arc<Vec<u8>>> {
        locked(&self.all).iter().find(|(known, _)| known == hash).map(|(_, bytes)| Arc::clone(bytes))
    }
}

/// At which resolution a page is shown.
pub(super) fn screen_dpi(page: Size) -> Result<Dpi, UnitError> {
    Dpi::new(if page.width.0 < LABEL_WIDTH { LABEL_DPI } else { PAGE_DPI })
}

/// A page of a kept PDF.
pub(super) async fn picture(
    State(desk): State<Arc<Desk>>,
    Path((hash, page)): Path<(String, String)>,
) -> Result<impl IntoResponse, Refusal> {
    let gone = || Refusal::nothing("This page is no longer kept. Open the Labels page anew.");
    let number: usize = page.strip_suffix(".png").and_then(|page| page.parse().ok()).ok_or_else(gone)?;
    let bytes = desk.previews.get(&hash).ok_or_else(gone)?;
    let png = on_a_thread(move || {
        let pdf = OpenPdf::new(&bytes)?;
        let dpi = screen_dpi(pdf.size(number)?)?;
        Ok(pdf.draw(number, dpi, true)?.png()?)
    })
    .await?;
    Ok(([(header::CONTENT_TYPE, "image/png"), (header::CACHE_CONTROL, "private, max-age=86400, immutable")], png))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn few_are_kept_and_the_oldest_goes_first() {
        let previews = Previews::default();
        let hashes: Vec<String> = (0..8u8).map(|byte| previews.keep(vec![byte])).collect();
        let kept = hashes.iter().filter(|hash| previews.get(hash).is_some()).count();
        assert_eq!(kept, KEPT);
        assert!(previews.get(&hashes[0]).is_none() && previews.get(&hashes[7]).is_some());
        previews.keep(vec![0; MOST_BYTES + 1]);
        assert_eq!(locked(&previews.all).len(), 1);
    }

    /// Whether this has its answer already.
    fn is_ready<T>(future: std::pin::Pin<&mut impl Future<Output = T>>) -> Option<T> {
        let mut context = std::task::Context::from_waker(std::task::Waker::noop());
        if let std::task::Poll::Ready(answer) = future.poll(&mut context) { Some(answer) } else { None }
    }

    #[test]
    fn a_device_has_one_made_at_a_time_and_none_that_nobody_waits_for() {
        let previews = Previews::default();
        let (device, other) = (DeviceId::new(1), DeviceId::new(2));
        let turn = |device| Box::pin(previews.turn(device));
        let (asked, first) = is_ready(turn(device).as_mut()).unwrap();
        let (mut left, mut last) = (turn(device), turn(device));
        assert!(is_ready(left.as_mut()).is_none() && is_ready(last.as_mut()).is_none());
        // Others do not wait for it.
        assert!(is_ready(turn(other).as_mut()).is_some());
        assert!(!first.is_over());
        // The browser goes away: what is made for it is over, and its turn lasts until that has ended.
        drop(asked);
        assert!(first.is_over() && is_ready(last.as_mut()).is_none());
        // One that has gone before its turn is passed over.
        drop(left);
        drop(first);
        let (_asked, last) = is_ready(last.as_mut()).unwrap();
        assert!(!last.is_over());
    }
}
