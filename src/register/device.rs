//! Devices that were paired with the desk. They are no part of what `undo` takes back.

use rusqlite::{Row, params};

use super::{Register, RegisterError, journal};

/// A paired device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Its number.
    pub id: DeviceId,
    /// What its owner calls it.
    pub name: String,
    /// The SHA-256 of the secret that it shows.
    pub secret: String,
    /// Whether it may look and change nothing.
    pub looks_only: bool,
    /// Since when it is paired, ISO 8601 in UTC.
    pub paired: String,
    /// The day on which it was last seen.
    pub seen: String,
}

/// The number of a paired device.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DeviceId(pub(super) i64);

impl DeviceId {
    /// The device of this number, if it is there.
    #[must_use]
    pub fn new(number: i64) -> Self {
        Self(number)
    }
}

impl std::fmt::Display for DeviceId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl Register {
    /// All paired devices, the last one first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn devices(&self) -> Result<Vec<Device>, RegisterError> {
        let sql = "SELECT id, name, secret, looks_only, paired, seen FROM device ORDER BY id DESC";
        let mut query = self.connection.prepare(sql)?;
        Ok(query.query_map([], Device::from_row)?.collect::<Result<_, _>>()?)
    }

    /// Pairs a device; `secret` is the SHA-256 of what it will show.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn pair_device(&mut self, name: &str, secret: &str, looks_only: bool) -> Result<DeviceId, RegisterError> {
        let sql = "INSERT INTO device (name, secret, looks_only, paired, seen) VALUES (?1, ?2, ?3, ?4, ?5)";
        let values = params![name, secret, looks_only, journal::now(), journal::today()];
        Ok(DeviceId(self.connection.prepare(sql)?.insert(values)?))
    }

    /// Ends a pairing; `false` when there was none of that number.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn unpair_device(&mut self, id: DeviceId) -> Result<bool, RegisterError> {
        Ok(self.connection.execute("DELETE FROM device WHERE id = ?1", [id.0])? > 0)
    }

    /// Notes that a device was seen today.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be written.
    pub fn saw_device(&mut self, id: DeviceId) -> Result<(), RegisterError> {
        let sql = "UPDATE device SET seen = ?2 WHERE id = ?1 AND seen <> ?2";
        self.connection.execute(sql, params![id.0, journal::today()])?;
        Ok(())
    }
}

impl Device {
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            id: DeviceId(row.get(0)?),
            name: row.get(1)?,
            secret: row.get(2)?,
            looks_only: row.get(3)?,
            paired: row.get(4)?,
            seen: row.get(5)?,
        })
    }
}
