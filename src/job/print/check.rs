//! A prepared run read back from its finished file before it is put in place.

use super::{Prepared, PrintError};
use crate::{
    job::Progress,
    proof::{Refused, Report, Resolution, expected, prove},
};

impl Prepared {
    /// Reads each symbol of the finished file at the printer's resolution, compares it with the code that the register
    /// has for its label, and puts each kind through simulated prints.
    ///
    /// # Errors
    /// [`PrintError::Refused`] when a symbol is not as it should be; the run must not be committed then.
    pub fn prove(&self, progress: &impl Progress) -> Result<Report, PrintError> {
        let symbols = self.options.look.symbols();
        let says = |label: usize, kind| symbols.text(&self.jobs[self.labels[label].job].payload(), kind);
        let expected = expected(&self.pages, |label, placed| says(label, placed.symbol.kind()));
        progress.begin(expected.len());
        let device = self.options.device;
        // Thinner bars are not whole modules: they are read, not compared dot by dot.
        let resolution = Resolution { dpi: device.dpi, is_own: !device.bar_reduction };
        let report = prove(&self.bytes, &expected, resolution, &|done| progress.more(done))?;
        if report.faults.is_empty() {
            return Ok(report);
        }
        Err(PrintError::Refused(Refused { symbols: report.symbols, faults: report.faults }))
    }
}
