//! What is chosen, made into labels and the options of a run, as the commands do it.
//!
//! Start with [`Plan::of`]. The preview and the print ask here alike, so that what is seen is what is printed.

use jiff::ZonedDateTime;

use super::{
    super::answer::Refusal,
    choices::{Choices, Which},
    slots,
};
use crate::{
    job::{
        Again, Otherwise, OwnLook, PrintOptions, Settings, Wanted, count, fonts_known, listed, print_options, reprint,
        run_by_text, sheet_by_name,
    },
    register::{Register, RunKind},
    sheet::{Sheet, SlotList},
};

/// More labels at once than anyone prints; with more of them the pages would take minutes and all memory.
const MOST_LABELS: usize = 100_000;

/// What is to be printed, and how.
#[derive(Debug)]
pub(super) struct Plan {
    pub kind: RunKind,
    pub labels: Vec<OwnLook>,
    pub options: PrintOptions,
    /// What comes out otherwise than it was.
    pub notes: Vec<String>,
}

impl Plan {
    /// What is chosen.
    pub(super) fn of(register: &Register, choices: &Choices) -> Result<Self, Refusal> {
        let plan = if choices.is_again() { again(register, choices) } else { new(register, choices) }?;
        plan.refuse_too_many()?;
        Ok(plan)
    }

    /// Their pages are all made before the first is shown.
    fn refuse_too_many(&self) -> Result<(), Refusal> {
        let all = self.labels.len().saturating_mul(self.options.copies.into());
        if all <= MOST_LABELS {
            return Ok(());
        }
        let most = count(MOST_LABELS as u64, self.kind.noun());
        Err(Refusal::input(format!(
            "These are {all}, and {most} are made at once. Choose fewer of them, or fewer copies."
        )))
    }
}

fn new(register: &Register, choices: &Choices) -> Result<Plan, Refusal> {
    let (kind, choice, look, date) = (choices.what, choices.choice()?, choices.look()?, ZonedDateTime::now().date());
    let wanted = if choices.which == Which::Stale {
        Wanted::stale(register, kind, &choice, date)?.dressed(|own| look.put_onto(own))
    } else {
        Wanted::of(register, kind, &choice, date)?
    };
    let wish = choices.wish(&Settings::of(register)?)?;
    let options = print_options(register, kind, look.look(), wanted.before.clone(), &wish)?;
    let notes = wanted.before.iter().flat_map(|before| before.otherwise(&wish, &options));
    let notes = notes.map(|otherwise| otherwise_text(&otherwise)).collect();
    let start = slots::start(register, &options.sheet, choices)?;
    let options = PrintOptions { start, fonts: fonts_known(register)?, ..options };
    Ok(Plan { kind, labels: wanted.labels, options, notes })
}

/// Labels of a run.
fn again(register: &Register, choices: &Choices) -> Result<Plan, Refusal> {
    let run = run_by_text(register, &choices.run)?;
    let (kind, of) = (run.kind, run.sheet.clone());
    let settings = Settings::of(register)?;
    let slots = (!choices.at.is_empty()).then(|| SlotList::parse_paged(&choices.at.join(","))).transpose()?;
    let other = choices.sheet_name(&settings)?.map(|name| sheet_by_name(register, &name)).transpose()?;
    let sheet: Sheet = other.clone().map_or_else(|| sheet_by_name(register, &of), Ok)?;
    let again = Again {
        slots,
        sheet: other,
        from: None,
        skip: None,
        fresh_sheet: false,
        out: None,
        force: false,
        date: ZonedDateTime::now().date(),
    };
    let again = reprint(register, run, again)?;
    let copies = choices.wish(&settings)?.copies.unwrap_or(1);
    let options = PrintOptions { start: slots::start(register, &sheet, choices)?, copies, ..again.options };
    Ok(Plan { kind, labels: again.jobs, options, notes: Vec::new() })
}

/// The sheet that would be printed on, also where nothing can be printed.
pub(super) fn sheet_of(register: &Register, choices: &Choices) -> Result<Sheet, Refusal> {
    let settings = Settings::of(register)?;
    if let Some(name) = choices.sheet_name(&settings)? {
        return Ok(sheet_by_name(register, &name)?);
    }
    if choices.is_again() {
        return Ok(sheet_by_name(register, &run_by_text(register, &choices.run)?.sheet)?);
    }
    Ok(settings.sheet_for(choices.what, None)?)
}

fn otherwise_text(otherwise: &Otherwise) -> String {
    match otherwise {
        Otherwise::Sheets { were, now } => {
            format!("These were printed on {}, and all go on {now} now. Choose another sheet to change that.", listed(were))
        }
        Otherwise::Fewer => {
            "Some of these were printed in several copies, and one of each is printed now. Say how many copies to change that."
                .into()
        }
    }
}
