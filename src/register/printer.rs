//! Printers and what is known of each.

use rusqlite::{OptionalExtension, Row, Transaction, TransactionBehavior, params};
use serde_json::{Value, json};

use super::{
    Register, RegisterError,
    journal::{self, Entry},
};
use crate::unit::{Dpi, Mm};

/// A printer as the register remembers it.
#[derive(Debug, Clone, PartialEq)]
pub struct PrinterRecord {
    /// Its name, unlike all others whatever the case.
    pub name: String,
    /// Its resolution.
    pub dpi: Dpi,
    /// Its errors of place.
    pub place: PlaceRecord,
    /// Whether symbols are drawn narrower for it.
    pub thinner: bool,
    /// What it leaves white along the paper's edges, where that was said.
    pub edge: Option<Mm>,
    /// The print queue of the system that leads to it.
    pub queue: Option<String>,
    /// Whether it is meant when none is named.
    pub is_default: bool,
}

/// A printer's errors of place; what they mean is known to those who correct them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaceRecord {
    /// To the right, in millimetres.
    pub shift_x: f64,
    /// Downwards, in millimetres.
    pub shift_y: f64,
    /// Across.
    pub scale_x: f64,
    /// Down.
    pub scale_y: f64,
    /// Down for each across.
    pub skew: f64,
}

const SELECT: &str = "SELECT name, dpi, shift_x, shift_y, scale_x, scale_y, skew, thinner, edge, queue, is_default
    FROM printer WHERE ?1 IS NULL OR name = ?1 ORDER BY name";

impl Register {
    /// All printers by name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn printers(&self) -> Result<Vec<PrinterRecord>, RegisterError> {
        let mut query = self.connection.prepare(SELECT)?;
        let printers = query.query_map([None::<&str>], read)?;
        Ok(printers.collect::<Result<_, _>>()?)
    }

    /// The printer of a name, whatever the case.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn printer(&self, name: &str) -> Result<Option<PrinterRecord>, RegisterError> {
        Ok(self.connection.query_row(SELECT, [name], read).optional()?)
    }

    /// The printer that is meant when none is named.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn default_printer(&self) -> Result<Option<PrinterRecord>, RegisterError> {
        Ok(self.printers()?.into_iter().find(|printer| printer.is_default))
    }

    /// Adds a printer, or changes the one of that name. As the default it takes the place of the one before.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn put_printer(&mut self, printer: &PrinterRecord) -> Result<(), RegisterError> {
        let before = self.printer(&printer.name)?;
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        if printer.is_default {
            tx.execute("UPDATE printer SET is_default = 0 WHERE is_default = 1 AND name <> ?1", [&printer.name])?;
        }
        put_in(&tx, printer)?;
        let action = if before.is_some() { "printer changed" } else { "printer added" };
        let (before, after) = (before.as_ref().map(said), Some(said(printer)));
        journal::write_in(&tx, &Entry { action, before, after, ..Entry::default() })?;
        Ok(tx.commit()?)
    }

    /// Removes a printer; whether there was one of that name.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn remove_printer(&mut self, name: &str) -> Result<bool, RegisterError> {
        let Some(before) = self.printer(name)? else { return Ok(false) };
        let tx = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        tx.execute("DELETE FROM printer WHERE name = ?1", [name])?;
        let entry = Entry { action: "printer removed", before: Some(said(&before)), ..Entry::default() };
        journal::write_in(&tx, &entry)?;
        tx.commit()?;
        Ok(true)
    }
}

fn put_in(tx: &Transaction<'_>, printer: &PrinterRecord) -> Result<(), RegisterError> {
    let sql =
        "INSERT INTO printer (name, dpi, shift_x, shift_y, scale_x, scale_y, skew, thinner, edge, queue, is_default)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)
        ON CONFLICT (name) DO UPDATE SET dpi = ?2, shift_x = ?3, shift_y = ?4, scale_x = ?5, scale_y = ?6,
        skew = ?7, thinner = ?8, edge = ?9, queue = ?10, is_default = ?11";
    let PlaceRecord { shift_x, shift_y, scale_x, scale_y, skew } = printer.place;
    let (dpi, edge) = (printer.dpi.get(), printer.edge.map(|edge| edge.0));
    let flags = (printer.thinner, printer.is_default);
    tx.execute(
        sql,
        params![printer.name, dpi, shift_x, shift_y, scale_x, scale_y, skew, flags.0, edge, printer.queue, flags.1],
    )?;
    Ok(())
}

fn said(printer: &PrinterRecord) -> Value {
    let PlaceRecord { shift_x, shift_y, scale_x, scale_y, skew } = printer.place;
    json!({
        "printer": printer.name, "dpi": printer.dpi, "shift_x": shift_x, "shift_y": shift_y, "scale_x": scale_x,
        "scale_y": scale_y, "skew": skew, "thinner": printer.thinner, "edge": printer.edge.map(|edge| edge.0),
        "queue": printer.queue, "is_default": printer.is_default,
    })
}

fn read(row: &Row<'_>) -> rusqlite::Result<PrinterRecord> {
    let dpi: f64 = row.get(1)?;
    Ok(PrinterRecord {
        name: row.get(0)?,
        dpi: Dpi::new(dpi).map_err(|_| damaged(dpi))?,
        place: PlaceRecord {
            shift_x: row.get(2)?,
            shift_y: row.get(3)?,
            scale_x: row.get(4)?,
            scale_y: row.get(5)?,
            skew: row.get(6)?,
        },
        thinner: row.get(7)?,
        edge: row.get::<_, Option<f64>>(8)?.map(Mm),
        queue: row.get(9)?,
        is_default: row.get(10)?,
    })
}

fn damaged(dpi: f64) -> rusqlite::Error {
    let fault = RegisterError::Damaged(format!("{dpi} dpi"));
    rusqlite::Error::FromSqlConversionFailure(1, rusqlite::types::Type::Real, Box::new(fault))
}
