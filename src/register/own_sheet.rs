//! A user's own label sheets, as measured; whether they make sense is decided above.

use rusqlite::{OptionalExtension, Row, TransactionBehavior, params};
use serde_json::{Value, json};

use super::{
    Register, RegisterError,
    journal::{self, Entry},
};

/// The measures of an own sheet, in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct OwnSheet {
    /// Its name.
    pub name: String,
    /// `a4`, `letter` or `roll`.
    pub paper: String,
    /// Labels across.
    pub columns: u32,
    /// Labels down.
    pub rows: u32,
    /// Width and height of a label.
    pub label: (f64, f64),
    /// From the paper's left and top edge to the first label.
    pub corner: (f64, f64),
    /// From label to label, across and down.
    pub pitch: (f64, f64),
}

impl OwnSheet {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        let pair = |a: &str, b: &str| Ok::<_, rusqlite::Error>((row.get(a)?, row.get(b)?));
        Ok(Self {
            name: row.get("name")?,
            paper: row.get("paper")?,
            columns: row.get("columns")?,
            rows: row.get("rows")?,
            label: pair("label_width", "label_height")?,
            corner: pair("left", "top")?,
            pitch: pair("pitch_x", "pitch_y")?,
        })
    }

    fn described(&self) -> Value {
        let grid = format!("{}x{}", self.columns, self.rows);
        json!({"sheet": self.name, "paper": self.paper, "grid": grid, "label": self.label, "corner": self.corner,
            "pitch": self.pitch})
    }
}

impl Register {
    /// Adds an own sheet.
    ///
    /// # Errors
    /// [`RegisterError::SheetExists`] when there is one of that name.
    pub fn add_sheet(&mut self, sheet: &OwnSheet) -> Result<(), RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let added = tx.execute(
            "INSERT INTO own_sheet (name, paper, columns, rows, label_width, label_height, left, top, pitch_x, pitch_y)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) ON CONFLICT (name) DO NOTHING",
            params![
                sheet.name,
                sheet.paper,
                sheet.columns,
                sheet.rows,
                sheet.label.0,
                sheet.label.1,
                sheet.corner.0,
                sheet.corner.1,
                sheet.pitch.0,
                sheet.pitch.1
            ],
        )?;
        if added == 0 {
            return Err(RegisterError::SheetExists(sheet.name.clone()));
        }
        let after = Some(sheet.described());
        journal::write_in(&tx, &Entry { action: "sheet added", after, ..Entry::default() })?;
        Ok(tx.commit()?)
    }

    /// Removes an own sheet; runs that were printed on it stay. `false` when there is none of that name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn remove_sheet(&mut self, name: &str) -> Result<bool, RegisterError> {
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let sql = "DELETE FROM own_sheet WHERE name = ?1 RETURNING *";
        let Some(sheet) = tx.query_row(sql, [name], OwnSheet::from_row).optional()? else { return Ok(false) };
        let before = Some(sheet.described());
        journal::write_in(&tx, &Entry { action: "sheet removed", before, ..Entry::default() })?;
        tx.commit()?;
        Ok(true)
    }

    /// All own sheets by name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn own_sheets(&self) -> Result<Vec<OwnSheet>, RegisterError> {
        let mut query = self.connection.prepare("SELECT * FROM own_sheet ORDER BY name")?;
        let sheets = query.query_map([], OwnSheet::from_row)?;
        Ok(sheets.collect::<Result<_, _>>()?)
    }

    /// Whether any run was printed on a sheet of this name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn has_printed_on(&self, sheet: &str) -> Result<bool, RegisterError> {
        Ok(self.connection.prepare("SELECT 1 FROM run WHERE sheet = ?1")?.exists([sheet])?)
    }
}
