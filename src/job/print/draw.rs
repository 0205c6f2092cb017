//! The drawings of all labels of a run, in the order of its file.

use std::sync::Arc;

use super::{LabelJob, PrintError, PrintOptions, hint::hint};
use crate::label::{Drawing, LabelWarning, Stock};

/// Drawings in the order of the file, the job of each, and what is worth saying.
pub(super) struct Drawings {
    pub all: Vec<Arc<Drawing>>,
    pub jobs: Vec<usize>,
    pub warnings: Vec<LabelWarning>,
}

pub(super) fn draw_all(jobs: &[LabelJob], options: &PrintOptions) -> Result<Drawings, PrintError> {
    let stock = options.sheet.stock(options.dpi);
    let mut drawn = Drawings { all: Vec::new(), jobs: Vec::new(), warnings: Vec::new() };
    for (number, job) in jobs.iter().enumerate() {
        let drawings = draw(job, &stock, options, &mut drawn.warnings)?;
        for _ in 0..options.copies {
            drawn.all.extend(drawings.iter().cloned());
            drawn.jobs.extend(drawings.iter().map(|_| number));
        }
    }
    Ok(drawn)
}

fn draw(
    job: &LabelJob,
    stock: &Stock,
    options: &PrintOptions,
    warnings: &mut Vec<LabelWarning>,
) -> Result<Vec<Arc<Drawing>>, PrintError> {
    let drawn = job.draw(stock, &options.look);
    let drawn = drawn.map_err(|error| PrintError::Label { hint: hint(job, options, &error), error })?;
    for warning in drawn.iter().flat_map(|drawn| &drawn.warnings) {
        if !warnings.contains(warning) {
            warnings.push(warning.clone());
        }
    }
    Ok(drawn.into_iter().map(|drawn| Arc::new(drawn.drawing)).collect())
}
