//! `stowmark lift`, and the same lift as options of `stowmark sign`

use clap::ValueEnum;

use super::{
    large::large,
    outcome::{CliError, Outcome},
    session::Session,
    table::table,
    width::{width, wrapped},
};
use crate::{
    exchange::lift_json::LiftJson,
    job::{LIFT_CAUTION, LiftPart, lift_advice, lift_parts, lift_pounds, lift_turn},
    plan::{Handles, Lift},
    unit::{Mm, Pace, Spell, UnitError, Weight, parse_cm},
};

#[derive(Debug, clap::Args)]
#[command(
    after_help = "The revised NIOSH lifting equation (DHHS Publication 94-110, rev. 9/2021) for the start of a lift
with both hands. Height and reach are those of the hands when the lift begins, --to is their height
when it ends; lengths are centimetres, or inches as 16in. The reach is measured from the ankles.

Handles: a container longer than 40 cm in front or higher than 30 cm counts as poor, which is most
storage tubs. A pace between two rows of the equation's table takes the faster one; slower than once
in 5 minutes counts as that. The equation expects light work behind it: after an hour of lifting 1.2
times as long, after two hours 0.3 times as long.

A guide figure, not a limit: the tub maker's rating, local rules and a qualified person's advice
come first. The tub itself counts too; carrying, wet floors and who lifts are not in the equation.

Example:
  stowmark lift --height 20 --to 80 --reach 40 --handles fair
  stowmark lift --height 20 --to 150 --reach 16in --often 1/min --for 2h --angle 45"
)]
pub(super) struct LiftArgs {
    /// How high the hands are over the floor at the start, as 20 (cm) or 8in
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    height: Mm,
    /// How high they are at the end
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    to: Mm,
    /// How far they are in front of the ankles at the start
    #[arg(long, value_name = "LENGTH", value_parser = length)]
    reach: Mm,
    /// How well it can be held [default: poor]
    #[arg(long, value_enum)]
    handles: Option<HandlesName>,
    /// How often it is lifted, as 3/min, 1/5min or 2/h [default: seldom]
    #[arg(long, value_name = "PACE", value_parser = Pace::parse)]
    often: Option<Pace>,
    /// For how long within a day, as 90min or 8h [default: 1h]
    #[arg(long = "for", value_name = "TIME", value_parser = Spell::parse)]
    spell: Option<Spell>,
    /// How far it is taken to the side, in degrees [default: 0]
    #[arg(long, value_name = "DEGREES", value_parser = lift_turn)]
    angle: Option<f64>,
}

/// The lift that a sign's guide weight is for.
#[derive(Debug, clap::Args)]
pub(super) struct SignLiftArgs {
    /// Print a guide weight for this lift, as `stowmark lift` has it: it counts with the tub. A bin's own limit stands behind
    #[arg(long, requires_all = ["height", "to", "reach"])]
    guide_weight: bool,
    /// How high the hands are over the floor at the start, as 20 (cm) or 8in
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "guide_weight")]
    height: Option<Mm>,
    /// How high they are at the end
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "guide_weight")]
    to: Option<Mm>,
    /// How far they are in front of the ankles at the start
    #[arg(long, value_name = "LENGTH", value_parser = length, requires = "guide_weight")]
    reach: Option<Mm>,
    /// How well the bin can be held [default: poor]
    #[arg(long, value_enum, requires = "guide_weight")]
    handles: Option<HandlesName>,
    /// How often it is lifted, as 3/min, 1/5min or 2/h [default: seldom]
    #[arg(long, value_name = "PACE", value_parser = Pace::parse, requires = "guide_weight")]
    often: Option<Pace>,
    /// For how long within a day, as 90min or 8h [default: 1h]
    #[arg(long = "for", value_name = "TIME", value_parser = Spell::parse, requires = "guide_weight")]
    spell: Option<Spell>,
    /// How far it is taken to the side, in degrees [default: 0]
    #[arg(long, value_name = "DEGREES", value_parser = lift_turn, requires = "guide_weight")]
    angle: Option<f64>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum HandlesName {
    Good,
    Fair,
    Poor,
}

fn length(text: &str) -> Result<Mm, UnitError> {
    parse_cm(text)
}

/// Seldom, straight ahead and badly held, where nothing else is said.
fn lift(
    [height, to, reach]: [Mm; 3],
    handles: Option<HandlesName>,
    often: Option<Pace>,
    spell: Option<Spell>,
    angle: Option<f64>,
) -> Lift {
    let plain = Lift::seldom(height, to, reach);
    let handles = handles.map(|name| match name {
        HandlesName::Good => Handles::Good,
        HandlesName::Fair => Handles::Fair,
        HandlesName::Poor => Handles::Poor,
    });
    Lift {
        handles: handles.unwrap_or(plain.handles),
        often: often.unwrap_or(plain.often),
        spell: spell.unwrap_or(plain.spell),
        angle: angle.unwrap_or(plain.angle),
        ..plain
    }
}

impl SignLiftArgs {
    /// The guide weight of the lift, if one is wanted.
    pub(super) fn guide(&self) -> Result<Option<Weight>, CliError> {
        let (true, Some(height), Some(to), Some(reach)) = (self.guide_weight, self.height, self.to, self.reach) else {
            return Ok(None);
        };
        let lift = lift([height, to, reach], self.handles, self.often, self.spell, self.angle);
        lift.guide().map(Some).ok_or(CliError::NoGuideWeight)
    }
}

pub(super) fn run(args: &LiftArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let lift = lift([args.height, args.to, args.reach], args.handles, args.often, args.spell, args.angle);
    let is_terminal = session.io().interactive;
    session.answer(&LiftJson::new(&lift, LIFT_CAUTION), || wrapped(&text(&lift, is_terminal), width()))?;
    Ok(Outcome::Done)
}

fn text(lift: &Lift, is_terminal: bool) -> String {
    let head = match lift.guide() {
        Some(weight) => guide_text(lift, weight, is_terminal),
        None => "guide weight 0.0 kg: by this equation it should not be lifted like that, whatever it weighs".into(),
    };
    let parts = lift_parts(lift);
    let factors = table(&["what", "is", "leaves#"], parts.iter().map(row));
    format!("{head}\n\n{factors}\n\n{}\n\n{LIFT_CAUTION}", lift_advice(&parts))
}

fn guide_text(lift: &Lift, weight: Weight, is_terminal: bool) -> String {
    let text = format!("guide weight {:.1} kg ({:.1} lb)", weight.kilograms(), lift_pounds(lift));
    if is_terminal { format!("\n{}\n\n  {text}", large(&format!("{:.1} kg", weight.kilograms()))) } else { text }
}

fn row(part: &LiftPart) -> Vec<String> {
    vec![part.name.to_owned(), part.is.clone(), part.percent()]
}
