//! `stowmark pick --scan`

use serde_json::{Value, json};

use super::{
    large::large,
    outcome::{CliError, Outcome},
    pick::NOTHING,
    reader::{Reader, Sound},
    session::Session,
    sold::today,
    table::{count, place_text},
};
use crate::{
    exchange::sale_json::PickJson,
    job::{PickRefusal, PickSession, Stop, round},
    register::{Item, Pick},
};

/// An answer to a reading: the word to be read from a step away, and the rest.
struct Answer {
    sound: Sound,
    json: Value,
    large: String,
    rest: String,
}

pub(super) fn run(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let mut picks = PickSession::new(today());
    let stops = round(session.register_for_change()?)?;
    let mut reader =
        Reader::begin(session, "Scan the tag of each item as you take it; `undo` takes the last one back.")?;
    if reader.is_terminal() || (!session.json() && stops.is_empty()) {
        reader.answer(session, Sound::Silent, &(), || left_text(&stops))?;
    }
    while let Some(reading) = reader.next(session)? {
        let answer = answer(&mut picks, &reading.text, session)?;
        let is_terminal = reader.is_terminal();
        reader.answer(session, answer.sound, &answer.json, || answer.text(is_terminal))?;
    }
    reader.end(session)?;
    Ok(Outcome::Done)
}

impl Answer {
    fn text(&self, is_terminal: bool) -> String {
        if is_terminal {
            format!("\n{}\n\n  {}\n", large(&self.large), self.rest.replace('\n', "\n  "))
        } else {
            self.rest.replace('\n', "; ")
        }
    }
}

fn answer(picks: &mut PickSession, text: &str, session: &mut Session<'_, '_>) -> Result<Answer, CliError> {
    let register = session.register_for_change()?;
    let told = if text.trim().eq_ignore_ascii_case("undo") {
        picks.undo(register).map(|pick| undone(&pick))
    } else {
        picks.pick(register, text).map(|item| picked(&item))
    };
    match told {
        Ok(answer) => {
            let left = left_text(&round(register)?);
            Ok(Answer { rest: format!("{}\n{left}", answer.rest), ..answer })
        }
        Err(refusal) => Ok(refused(text, &refusal)),
    }
}

fn picked(item: &Item) -> Answer {
    let from = item.bin().map(|bin| bin.to_string()).unwrap_or_default();
    let order = item.sold.as_ref().and_then(|sold| sold.order.as_ref());
    let order = order.map(|order| format!(", order {order}")).unwrap_or_default();
    Answer {
        sound: Sound::Silent,
        json: json!({ "picked": [{ "code": item.name(), "from": from }] }),
        large: item.name(),
        rest: format!("{}  {}: picked from {from}{order}", item.name(), item.title),
    }
}

fn undone(pick: &Pick) -> Answer {
    Answer {
        sound: Sound::Silent,
        json: json!({ "undone": [PickJson::from(pick)] }),
        large: format!("BACK {}", pick.from),
        rest: format!("{}: not picked, back into {}", pick.name, pick.from),
    }
}

/// Also when the disk is full or another program writes: the next reading may go well.
fn refused(text: &str, refusal: &PickRefusal) -> Answer {
    let (reason, read) = (refusal.to_string(), shown(text));
    Answer {
        sound: Sound::Refused,
        json: json!({ "refused": { "read": text, "reason": reason } }),
        large: "NO".into(),
        rest: format!("refused `{read}`: {reason}"),
    }
}

/// Without the control characters that a symbol may carry to the terminal.
fn shown(text: &str) -> String {
    text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// `2 left; next 4C, Loft, rack 1: 4C-002K`
fn left_text(stops: &[Stop]) -> String {
    let Some(next) = stops.first() else { return NOTHING.into() };
    let items: usize = stops.iter().map(|stop| stop.items.len()).sum();
    let names: Vec<String> = next.items.iter().map(Item::name).collect();
    let left = count(items as u64, "item");
    format!("{left} left; next {}, {}: {}", next.bin, place_text(&next.place), names.join(", "))
}
