//! `stowmark regroup go`

use serde_json::{Map, Value, json};

use super::{no_plan, told};
use crate::{
    cli::{
        large::large,
        outcome::{CliError, Outcome},
        reader::{Reader, Reading, Sound},
        session::Session,
        table::shown,
    },
    exchange::{
        json::MoveJson,
        regroup_json::{EndingJson, NextJson, PlannedMoveJson},
    },
    job::{Ending, GoRefusal, Going, Next, RegroupGo, StowRepair, going_text, repaired_text, settled_text},
    register::{Item, MoveState, RegisterError, RegroupMove},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "It says where to go. Scan the tag of each item as you take it, and the sign of a bin as you put in
what is in hand for it. The order is a guide: take and put in another one where that suits you.
Each reading is on disk before its answer comes. You may leave at any time: `regroup go` takes the
plan up again, and says first what is in hand.

`missing` alone says that the item that is asked for next is not there, `missing CODE` that another
one is not, and the rest goes on; scan it when it turns up. `undo` takes the last reading back.
Codes that are typed need their check letter, as readings have it: 4A-001F, not 4A-001. Items that
were sent, lost or put elsewhere meanwhile leave the plan by themselves.

What is refused rings the terminal's bell twice, and the session goes on. With --json each reading
has one line of answer: \"taken\", \"in_hand\", \"put\", \"missing\", \"undone\" or \"refused\".

Lifting and stacking: a full tub is heavy. Keep to the tub maker's rating and your local rules; lift
no more and stack no higher than they allow, and ask a qualified person when in doubt.

Example:
  stowmark regroup go
  printf '4A001F\\n4B\\n' | stowmark regroup go --json"
)]
pub(in crate::cli) struct GoArgs {}

const HINT: &str = "Scan items as you take them, and bins as you put them in. `missing` and `undo` may be typed.";

/// What is said after a reading, besides what became of it.
struct After {
    settled: Vec<(RegroupMove, Item)>,
    next: Next,
    end: Option<(String, Value)>,
}

type Taken = Result<(Going, StowRepair), GoRefusal>;

pub(super) fn run(_: &GoArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let Some(mut go) = RegroupGo::begin(session.register_for_change()?)? else { return no_plan(session) };
    if !session.json() {
        let begin = begin_text(&mut go, session)?;
        session.say(&begin)?;
    }
    let mut reader = Reader::begin(session, HINT)?;
    while let Some(reading) = reader.next(session)? {
        let register = session.register_for_change()?;
        let taken = go.take(register, &reading.text, reading.is_cut);
        let after = after(&mut go, register);
        let sound = if taken.is_err() { Sound::Refused } else { Sound::Silent };
        let is_terminal = reader.is_terminal();
        let json = json_of(&taken, &after, &reading);
        let text = || if is_terminal { spacious(&taken, &after) } else { line(&taken, &after, &reading) };
        reader.answer(session, sound, &json, text)?;
    }
    reader.end(session)?;
    let register = session.register_for_change()?;
    let plan = go.plan(register)?;
    let end = go.ending(register)?;
    session.say(&told::fitted(&end.map_or_else(|| told::progress(&plan), |end| told::ending(&end))))?;
    Ok(Outcome::Done)
}

/// How far the plan is, and where to go first.
fn begin_text(go: &mut RegroupGo, session: &mut Session<'_, '_>) -> Result<String, CliError> {
    let register = session.register()?;
    let plan = go.plan(register)?;
    let mut lines: Vec<String> = go.settled().iter().map(settled_text).collect();
    let in_hand = plan
        .in_state(MoveState::Taken)
        .map(|(one, item)| format!("in hand: {}  {}, from {} for {}", item.name(), item.title, one.from, one.to));
    lines.extend(in_hand);
    lines.push(go.next(register)?.text());
    Ok(told::fitted(&lines.join("\n")))
}

/// The reading stands, whatever comes of looking for the next one.
fn after(go: &mut RegroupGo, register: &crate::register::Register) -> After {
    let settled = go.settled();
    let look = || -> Result<_, RegisterError> { Ok((go.next(register)?, go.ending(register)?)) };
    let (next, end) = look().unwrap_or((Next::Nothing, None));
    let end = end.map(|end| (told::ending(&end), json!(ending_json(&end))));
    After { settled, next, end }
}

fn json_of(taken: &Taken, after: &After, reading: &Reading) -> Value {
    let planned = |one: &RegroupMove, item: &Item| json!([PlannedMoveJson::new(one, item)]);
    let (member, value) = match taken {
        Ok((Going::Taken(one, item), _)) => ("taken", planned(one, item)),
        Ok((Going::InHand(one, item), _)) => ("in_hand", planned(one, item)),
        Ok((Going::Put { put, .. }, _)) => {
            ("put", json!(put.iter().map(|(_, moved)| MoveJson::from(moved)).collect::<Vec<_>>()))
        }
        Ok((Going::Missing(one, item), _)) => ("missing", planned(one, item)),
        Ok((Going::Undone(what), _)) => ("undone", json!([{ "what": what }])),
        Err(why) => ("refused", json!({ "read": reading.text, "reason": why.to_string() })),
    };
    let mut answer = Map::from_iter([(member.to_owned(), value)]);
    if let Ok((Going::Put { over, .. }, _)) = taken
        && !over.is_empty()
    {
        answer.insert("warnings".into(), json!(over.iter().map(ToString::to_string).collect::<Vec<_>>()));
    }
    if let Ok((_, Some(layout))) = taken {
        answer.insert("repaired".into(), json!(layout));
    }
    if !after.settled.is_empty() {
        let codes: Vec<String> = after.settled.iter().map(|(_, item)| item.name()).collect();
        answer.insert("void".into(), json!(codes));
    }
    answer.insert("next".into(), json!(next_json(&after.next)));
    if let Some((_, ended)) = &after.end {
        answer.insert("ended".into(), ended.clone());
    }
    Value::Object(answer)
}

/// `None` at the end of the plan.
fn next_json(next: &Next) -> Option<NextJson> {
    let (doing, visit) = match next {
        Next::Take(visit) => ("take", visit),
        Next::Put(visit) => ("put", visit),
        Next::Nothing => return None,
    };
    let codes = visit.items.iter().map(|(_, item)| item.name()).collect();
    Some(NextJson { doing, trip: visit.trip, bin: visit.bin.code.to_string(), codes })
}

fn ending_json(ending: &Ending) -> EndingJson {
    EndingJson {
        moved: ending.moved,
        void: ending.void,
        missing: ending.missing.iter().map(|(one, item)| PlannedMoveJson::new(one, item)).collect(),
        empty: ending.empty.iter().map(ToString::to_string).collect(),
        other_tags: ending.other_tags.items,
        tags: ending.other_tags.tags,
        listed: ending.other_tags.listings,
    }
}

/// One line for a file or another program.
fn line(taken: &Taken, after: &After, reading: &Reading) -> String {
    let said = match taken {
        Ok((going, repair)) => format!("{}{}; {}", going_text(going), repaired_text(*repair), after.next.text()),
        Err(why) => format!("refused `{}`: {}", shown(&reading.text), shown(&why.to_string())),
    };
    let settled = after.settled.iter().map(|one| format!("{}; ", settled_text(one)));
    settled.chain([said]).collect()
}

/// An answer to be read from a step away: the bin that it goes to large.
fn spacious(taken: &Taken, after: &After) -> String {
    let settled: String =
        after.settled.iter().map(|one| told::fitted(&format!("  {}", settled_text(one))) + "\n").collect();
    match taken {
        Ok((going, repair)) => {
            let big = match going {
                Going::Taken(one, _) | Going::InHand(one, _) if !one.is_held() => large(&one.to.to_string()) + "\n\n",
                Going::Taken(..) | Going::InHand(..) => large("BOX") + "\n\n",
                Going::Put { bin, .. } => large(&bin.code.to_string()) + "\n\n",
                Going::Missing(..) | Going::Undone(_) => String::new(),
            };
            let (said, next) = (going_text(going), after.next.text());
            let said = told::fitted(&format!("  {said}{}\n  {next}", repaired_text(*repair)));
            format!("{big}{settled}{said}\n")
        }
        Err(why) => {
            let said = told::fitted(&format!("  refused: {}", why.to_string().replace('\n', "\n  ")));
            format!("{}\n\n{settled}{said}\n", large("NO"))
        }
    }
}
