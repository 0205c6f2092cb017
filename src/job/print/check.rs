//! A prepared run read back from its finished file before it is put in place.

use super::{Prepared, PrintError};
use crate::{
    job::Progress,
    proof::{Report, Watch, expected, prove_watched},
};

impl<L> Prepared<L> {
    /// Reads each symbol of the finished file at the printer's resolution, compares it with the code that the register
    /// has for its label, and puts each kind through simulated prints.
    ///
    /// # Errors
    /// [`PrintError::Refused`] when a symbol is not as it should be, [`PrintError::Cancelled`] when the user leaves off;
    /// the run must not be committed then.
    pub fn prove(&self, progress: &impl Progress) -> Result<Report, PrintError> {
        let says = |label: usize, kind| {
            let job = &self.jobs[self.labels[label].job];
            self.options.brush(job).look.symbols().text(&job.job.payload(), kind)
        };
        let expected = expected(&self.pages, |label, placed| says(label, placed.symbol.kind()));
        progress.begin(expected.len());
        let watch = Watch { on_read: &|done| progress.more(done), is_cancelled: &|| progress.is_cancelled() };
        let report = prove_watched(&self.bytes, &expected, self.options.device.dpi.into(), watch)?;
        report.ok_or(PrintError::Cancelled)?.passed().map_err(PrintError::Refused)
    }
}
