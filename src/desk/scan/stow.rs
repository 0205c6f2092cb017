//! Stow: a bin is scanned, then what goes into it.

use std::{sync::Arc, time::Instant};

use askama::Template;
use axum::{
    extract::{Query, State as Shared},
    response::{IntoResponse, Response},
};

use super::{
    said::{Said, Sound},
    session::{Area, new_id},
    state::Button,
    take::{At, own_page},
};
use crate::{
    desk::{
        answer::{Go, Refusal},
        shell::Visitor,
        state::Desk,
        words::desk_words,
    },
    job::{Stow, StowError, Stowing, bin_by_text, bin_line, place_text, put_back_text, put_text, repaired_text},
    register::{Register, RegisterError},
};

/// Items of the session that its page lists.
const LISTED: usize = 50;
/// After so long it is read anew how full bins are, as others move things too.
const FRESH: std::time::Duration = std::time::Duration::from_mins(1);

/// The page. Without a session, but with a bin, it leads to a new one that begins with it.
pub(super) async fn page(desk: Shared<Arc<Desk>>, visitor: Visitor, Query(at): Query<At>) -> Result<Response, Refusal> {
    if at.session.is_some() || at.bin.is_empty() {
        return own_page(desk, visitor, Area::Stow, Query(at)).await;
    }
    let bin = desk.read(move |register| bin_by_text(register, &at.bin)).await?;
    let code = bin.code;
    let of_bin = |why| Refusal::from(why).with_way("The bin’s page", format!("/b/{code}"));
    Stow::new(Some(bin)).map_err(of_bin)?;
    Ok(Go(format!("/stow?session={}&bin={code}", new_id()?)).into_response())
}

/// A session that stows.
#[derive(Debug)]
pub(super) struct StowWork {
    stow: Stow,
    done: Vec<Line>,
    looked: Instant,
}

/// An item that was stowed.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub name: String,
    pub title: String,
    pub bin: String,
    pub text: String,
}

#[derive(Debug, Template)]
#[template(path = "scan_stow.html")]
pub(super) struct StowState {
    pub session: String,
    pub bin: Option<String>,
    place: String,
    lines: Vec<Line>,
    stowed: usize,
    undo: Option<Button>,
}

impl StowWork {
    pub(super) fn begin(register: &Register, bin: &str) -> Result<Self, Refusal> {
        let bin = (!bin.is_empty()).then(|| bin_by_text(register, bin)).transpose()?;
        Ok(Self { stow: Stow::new(bin)?, done: Vec::new(), looked: Instant::now() })
    }

    /// Items go into the bin that the page shows: the session may have another page, which has named another bin.
    pub(super) fn look_at(&mut self, register: &Register, bin: &str) -> Result<(), Refusal> {
        if !bin.is_empty() {
            self.stow.goes_into(bin_by_text(register, bin)?);
        }
        Ok(())
    }

    pub(super) fn take(&mut self, register: &mut Register, text: &str, is_cut: bool) -> Said {
        if self.looked.elapsed() > FRESH {
            self.stow.look_anew();
            self.looked = Instant::now();
        }
        let taken = self.stow.take(register, text, is_cut);
        let warnings = self.stow.warnings().iter().map(ToString::to_string).collect();
        let said = Said { warnings, ..self.said(text, taken) };
        // What was taken back, here or elsewhere, is not listed any more.
        self.done.truncate(self.stow.stowed());
        said
    }

    fn said(&mut self, text: &str, taken: Result<Stowing, StowError>) -> Said {
        match taken {
            Ok(Stowing::Bin(bin, repair)) => {
                let text = format!("{}{}", bin_line(&bin), repaired_text(repair));
                Said::new(Sound::Good, "Bin", format!("Into {} from now on", bin.code), text).at(bin.code)
            }
            Ok(Stowing::Put(item, moved, repair)) => {
                let bin = item.bin().map(|bin| bin.to_string()).unwrap_or_default();
                let put = format!("{}{}", put_text(&item, moved.as_ref()), repaired_text(repair));
                let said = format!("{}: {put}", item.name());
                if moved.is_some() {
                    let (name, title) = (item.name(), item.title.clone());
                    self.done.push(Line { name, title, bin: bin.clone(), text: put });
                    return Said::new(Sound::Good, "Stowed", &item.title, said).at(bin);
                }
                Said::new(Sound::Good, "There already", &item.title, said).at(bin)
            }
            Ok(Stowing::Undone(item, moved)) => {
                Said::new(Sound::Good, "Taken back", &item.title, desk_words(&put_back_text(&item, &moved)))
            }
            Err(StowError::Register(RegisterError::ScannedBefore(change))) => Said::before(&change),
            Err(why) => Said::refused(text, &why),
        }
    }

    pub(super) fn state(&self, session: &str) -> Result<StowState, Refusal> {
        let bin = self.stow.bin();
        let lines = self.done.iter().rev().take(LISTED).cloned().collect();
        let undo = (!self.done.is_empty()).then(|| Button::new(session, "undo")).transpose()?;
        Ok(StowState {
            session: session.to_owned(),
            bin: bin.map(|bin| bin.code.to_string()),
            place: bin.map(|bin| place_text(&bin.place)).unwrap_or_default(),
            lines,
            stowed: self.done.len(),
            undo,
        })
    }
}
