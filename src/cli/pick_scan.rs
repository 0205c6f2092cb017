//! `stowmark pick --scan`

use serde_json::{Value, json};

use super::{
    large::large,
    outcome::{CliError, Outcome},
    reader::{Reader, Reading, Sound},
    session::Session,
    sold::today,
    table::{count, shown},
};
use crate::{
    exchange::sale_json::PickJson,
    job::{PickRefusal, PickSession, Picking, left_text, picking_text, round},
};

const HINT: &str = "Scan the tag of each item as you take it. `undo` takes the last one back.";

pub(super) fn run(session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let mut picks = PickSession::new(today());
    let stops = round(session.register_for_change()?)?;
    if !session.json() {
        session.say(&left_text(&stops))?;
    }
    let mut reader = Reader::begin(session, HINT)?;
    while let Some(reading) = reader.next(session)? {
        let register = session.register_for_change()?;
        let taken = picks.take(register, &reading.text, reading.is_cut);
        // The pick stands, whatever comes of looking for the next one.
        let left = round(register).map(|stops| left_text(&stops)).unwrap_or_default();
        let sound = if taken.is_err() { Sound::Refused } else { Sound::Silent };
        let is_terminal = reader.is_terminal();
        let json = json_of(&taken, &reading);
        let text = || if is_terminal { spacious(&taken, &left) } else { line(&taken, &left, &reading) };
        reader.answer(session, sound, &json, text)?;
    }
    let is_terminal = reader.is_terminal();
    reader.end(session)?;
    if is_terminal {
        session.say(&format!("{} picked", count(picks.picked() as u64, "item")))?;
    }
    Ok(Outcome::Done)
}

fn json_of(taken: &Result<Picking, PickRefusal>, reading: &Reading) -> Value {
    match taken {
        Ok(Picking::Picked(_, pick)) => json!({ "picked": [PickJson::from(pick)] }),
        Ok(Picking::Undone(pick)) => json!({ "undone": [PickJson::from(pick)] }),
        Err(why) => json!({ "refused": { "read": reading.text, "reason": why.to_string() } }),
    }
}

/// One line for a file or another program.
fn line(taken: &Result<Picking, PickRefusal>, left: &str, reading: &Reading) -> String {
    match taken {
        Ok(picking) => format!("{}; {left}", picking_text(picking)),
        Err(why) => format!("refused `{}`: {}", shown(&reading.text), shown(&why.to_string())),
    }
}

/// An answer to be read from a step away.
fn spacious(taken: &Result<Picking, PickRefusal>, left: &str) -> String {
    match taken {
        Ok(picking) => {
            let (Picking::Picked(_, pick) | Picking::Undone(pick)) = picking;
            format!("{}\n\n  {}\n  {left}\n", large(&pick.name), picking_text(picking))
        }
        Err(why) => format!("{}\n\n  refused: {}\n", large("NO"), why.to_string().replace('\n', "\n  ")),
    }
}
