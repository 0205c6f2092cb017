//! How far a new register has come: what a first hour brings into it.

use super::{Register, RegisterError};

/// What there is in a register.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Begun {
    /// Whether there is a bin.
    pub bins: bool,
    /// Whether there is an item, or was one that has left.
    pub items: bool,
    /// Whether labels were printed.
    pub printed: bool,
}

impl Register {
    /// What there is in the register; asks for one row of each, however many there are.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn begun(&self) -> Result<Begun, RegisterError> {
        let sql = "SELECT EXISTS (SELECT 1 FROM bin WHERE state = 'live' AND retired IS NULL),
            EXISTS (SELECT 1 FROM item WHERE state <> 'undone'),
            EXISTS (SELECT 1 FROM run WHERE state = 'done')";
        let read = |row: &rusqlite::Row<'_>| Ok(Begun { bins: row.get(0)?, items: row.get(1)?, printed: row.get(2)? });
        Ok(self.connection.prepare_cached(sql)?.query_row([], read)?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        code::AreaNumber,
        register::{NewBins, NewItem, Title},
    };

    #[test]
    fn a_register_begins_with_bins_then_items() {
        let mut register = Register::in_memory().unwrap();
        assert_eq!(register.begun().unwrap(), Begun::default());
        let area = AreaNumber::new(4).unwrap();
        register.add_area(area, "Loft").unwrap();
        assert_eq!(register.begun().unwrap(), Begun::default());
        register.add_bins(area, &NewBins::new(1)).unwrap();
        assert_eq!(register.begun().unwrap(), Begun { bins: true, ..Begun::default() });
        register.add_items(&[NewItem::new(Title::new("Fish kettle").unwrap())], None).unwrap();
        assert_eq!(register.begun().unwrap(), Begun { bins: true, items: true, printed: false });
        register.undo_last(1).unwrap();
        assert!(!register.begun().unwrap().items);
    }
}
