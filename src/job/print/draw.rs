//! The drawings of all labels of a run, in the order of its file, drawn on all cores.

use std::{collections::HashSet, sync::Arc};

use super::{OwnLook, PrintError, PrintOptions, PrintWarning, hint::hint, labels::Brush};
use crate::{
    label::{Drawing, Drawn, LabelError, Stock},
    parallel,
    unit::Mm,
};

/// Drawings in the order of the file, the job of each, and what is worth saying.
pub(super) struct Drawings {
    pub all: Vec<Arc<Drawing>>,
    pub jobs: Vec<usize>,
    pub warnings: Vec<PrintWarning>,
}

/// The room for labels, with the faces that they are set in.
pub(super) fn stock(options: &PrintOptions) -> Stock {
    Stock { fonts: options.fonts.clone(), ..options.sheet.stock(options.device) }
}

pub(super) fn draw_all(
    jobs: &[OwnLook],
    options: &PrintOptions,
    is_cancelled: &(dyn Fn() -> bool + Sync),
) -> Result<Drawings, PrintError> {
    let stock = stock(options);
    let level = level(jobs, &stock, options);
    let draw = |job: &OwnLook| job.job.draw(&stock, Brush { level, ..options.brush(job) });
    let drawn = parallel::map(jobs, |job| (!is_cancelled()).then(|| draw(job)));
    let drawn: Vec<_> = drawn.into_iter().collect::<Option<_>>().ok_or(PrintError::Cancelled)?;
    let (mut drawings, mut said) =
        (Drawings { all: Vec::new(), jobs: Vec::new(), warnings: Vec::new() }, HashSet::new());
    for (number, (job, drawn)) in jobs.iter().zip(drawn).enumerate() {
        add(&mut drawings, &mut said, number, whole(drawn, job, options)?, options.copies);
    }
    Ok(drawings)
}

/// The height of capitals at which the codes of all signs are alike.
fn level(jobs: &[OwnLook], stock: &Stock, options: &PrintOptions) -> Option<Mm> {
    let caps = parallel::map(jobs, |job| job.job.cap(stock, options.brush(job)));
    caps.into_iter().flatten().reduce(Mm::min)
}

fn whole(
    drawn: Result<Vec<Drawn>, LabelError>,
    job: &OwnLook,
    options: &PrintOptions,
) -> Result<Vec<Drawn>, PrintError> {
    drawn.map_err(|error| PrintError::Label { hint: Box::new(hint(job, options, &error)), error })
}

fn add(drawings: &mut Drawings, said: &mut HashSet<String>, number: usize, drawn: Vec<Drawn>, copies: u16) {
    let mut made = Vec::with_capacity(drawn.len());
    for Drawn { drawing, warnings } in drawn {
        let new = warnings.into_iter().filter(|warning| said.insert(warning.to_string()));
        drawings.warnings.extend(new.map(PrintWarning::from));
        made.push(Arc::new(drawing));
    }
    for _ in 0..copies {
        drawings.all.extend(made.iter().cloned());
        drawings.jobs.extend(made.iter().map(|_| number));
    }
}
