//! The rows of a file, checked: good ones as a type of their reader's, the others with their reasons.
//!
//! Start with [`Rows::read`]; what only the register can tell is checked by [`Rows::settle`]. The refused rows go back
//! to their owner through [`Rows::refused_csv`].

use super::{cells::Cells, headings::Headings, mapping::Mapping, quotes::Stray, refused, table::CsvFile};

/// A row that is in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GoodRow<R> {
    /// The line of the file on which the row begins, from 1.
    pub line: u64,
    /// What it says.
    pub value: R,
    fields: Vec<String>,
}

/// A row that was not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RefusedRow {
    /// The line of the file on which the row begins, from 1; that of the quote where `column` is given.
    pub line: u64,
    /// The character in that line at which a stray quote stands, from 1.
    pub column: Option<u64>,
    /// All its faults, each with its heading and value, parted by `; `.
    pub reason: String,
}

/// A fault of a row: the field, and what is wrong with it.
pub type Fault = (&'static str, String);

/// The rows of a file, in its order.
#[derive(Debug, Clone)]
pub struct Rows<R> {
    /// Rows that are in order.
    pub good: Vec<GoodRow<R>>,
    /// Rows that are not.
    pub refused: Vec<RefusedRow>,
    /// What the columns are.
    pub mapping: Mapping,
    headings: Headings,
    /// The fields of each row in `refused`.
    refused_fields: Vec<Vec<String>>,
}

impl<R> Rows<R> {
    /// Reads all rows. `check` makes its own of the cells; a row is good if it gives something and no fault was noted.
    pub fn read(file: CsvFile, mapping: Mapping, mut check: impl FnMut(&mut Cells<'_>) -> Option<R>) -> Self {
        let CsvFile { headings, lines } = file;
        let mut rows = Self::none(mapping, headings);
        for line in lines {
            let mut cells = Cells::new(&rows.headings, &rows.mapping, &line.fields);
            if let Some((field, fault)) = &line.fault {
                cells.note(*field, fault);
            }
            let value = if cells.is_whole() { check(&mut cells) } else { None };
            match (value, cells.reason()) {
                (Some(value), None) => rows.good.push(GoodRow { line: line.number, value, fields: line.fields }),
                (_, reason) => rows.refuse(line.number, line.stray, reason.unwrap_or_default(), line.fields),
            }
        }
        rows
    }

    /// Looks at the good rows again and makes something else of them; some may be refused now, with all their faults.
    ///
    /// # Errors
    /// Those of `settle`.
    pub fn settle<S, E>(
        self,
        mut settle: impl FnMut(u64, R) -> Result<Result<S, Vec<Fault>>, E>,
    ) -> Result<Rows<S>, E> {
        let mut rows = Rows::none(self.mapping, self.headings);
        (rows.refused, rows.refused_fields) = (self.refused, self.refused_fields);
        let before = rows.refused.len();
        for GoodRow { line, value, fields } in self.good {
            match settle(line, value)? {
                Ok(value) => rows.good.push(GoodRow { line, value, fields }),
                Err(faults) => {
                    let mut cells = Cells::new(&rows.headings, &rows.mapping, &fields);
                    for (field, fault) in &faults {
                        cells.fault(field, fault);
                    }
                    let reason = cells.reason().unwrap_or_default();
                    rows.refuse(line, None, reason, fields);
                }
            }
        }
        if rows.refused.len() > before {
            rows.sort_refused();
        }
        Ok(rows)
    }

    /// The refused rows as a file to mend and to read again: the headings and the delimiter of the file, a last
    /// column `refused because`, UTF-8 with a byte order mark, CRLF.
    ///
    /// Fields that a spreadsheet would take for formulas are guarded. A row with too few or too many fields has its
    /// reason right behind its last field, and is refused again until it is mended.
    #[must_use]
    pub fn refused_csv(&self) -> Vec<u8> {
        let rows = self.refused_fields.iter().zip(&self.refused);
        let rows = rows.map(|(fields, row)| (fields.as_slice(), row.reason.as_str()));
        refused::to_csv(&self.headings, &self.mapping, rows)
    }

    fn none(mapping: Mapping, headings: Headings) -> Self {
        Self { good: Vec::new(), refused: Vec::new(), mapping, headings, refused_fields: Vec::new() }
    }

    fn refuse(&mut self, line: u64, stray: Option<Stray>, reason: String, fields: Vec<String>) {
        let (line, column) = stray.map_or((line, None), |stray| (stray.line, Some(stray.column)));
        self.refused.push(RefusedRow { line, column, reason });
        self.refused_fields.push(fields);
    }

    fn sort_refused(&mut self) {
        let fields = std::mem::take(&mut self.refused_fields);
        let mut both: Vec<_> = std::mem::take(&mut self.refused).into_iter().zip(fields).collect();
        both.sort_by_key(|(row, _)| row.line);
        (self.refused, self.refused_fields) = both.into_iter().unzip();
    }
}

#[cfg(test)]
mod tests;
