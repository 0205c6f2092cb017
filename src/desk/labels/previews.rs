//! The PDFs that are looked at before they are printed, and their pages as pictures.
//!
//! Start with [`Previews::keep`]; [`picture`] draws a page. Few are kept, in memory alone; a page of one that has gone is
//! made anew when the Labels page is.

use std::{
    collections::VecDeque,
    sync::{Arc, Mutex},
};

use axum::{
    extract::{Path, State},
    http::header,
    response::IntoResponse,
};

use super::super::{
    answer::Refusal,
    state::{Desk, locked, on_a_thread},
};
use crate::{
    output::{OpenPdf, sha256},
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
pub(in crate::desk) struct Previews(Mutex<VecDeque<(String, Arc<Vec<u8>>)>>);

impl Previews {
    /// Keeps one and gives its SHA-256.
    pub(super) fn keep(&self, bytes: Vec<u8>) -> String {
        let hash = sha256(&bytes);
        let mut all = locked(&self.0);
        all.retain(|(known, _)| *known != hash);
        all.push_back((hash.clone(), Arc::new(bytes)));
        let size = |all: &VecDeque<(String, Arc<Vec<u8>>)>| all.iter().map(|(_, bytes)| bytes.len()).sum::<usize>();
        while all.len() > KEPT || all.len() > 1 && size(&all) > MOST_BYTES {
            all.pop_front();
        }
        hash
    }

    fn get(&self, hash: &str) -> Option<Arc<Vec<u8>>> {
        locked(&self.0).iter().find(|(known, _)| known == hash).map(|(_, bytes)| Arc::clone(bytes))
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
        assert_eq!(locked(&previews.0).len(), 1);
    }
}
