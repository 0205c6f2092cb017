//! Rows as the journal keeps them: their columns as they stand in the table, under the names of these fields.
//!
//! What only counts upwards (serials, letters) and what follows from other columns (the words that are searched) is no
//! part of a row.

use rusqlite::{Connection, OptionalExtension, params, types::ToSqlOutput};
use serde::{Deserialize, Serialize, de::DeserializeOwned};
use serde_json::{Map, Value};

use super::RegisterError;
pub(super) use super::item_row::ItemRow;

/// The key of a row.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Key {
    Number(i64),
    Text(String),
}

impl Key {
    pub(super) fn number(&self) -> i64 {
        match self {
            Self::Number(number) => *number,
            Self::Text(_) => 0,
        }
    }
}

impl From<i64> for Key {
    fn from(number: i64) -> Self {
        Self::Number(number)
    }
}

impl rusqlite::ToSql for Key {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        match self {
            Self::Number(number) => number.to_sql(),
            Self::Text(text) => text.to_sql(),
        }
    }
}

impl rusqlite::types::FromSql for Key {
    fn column_result(value: rusqlite::types::ValueRef<'_>) -> rusqlite::types::FromSqlResult<Self> {
        match value {
            rusqlite::types::ValueRef::Integer(number) => Ok(Self::Number(number)),
            other => Ok(Self::Text(other.as_str()?.to_owned())),
        }
    }
}

/// Whose history a row belongs to.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct About {
    pub item: Option<i64>,
    pub bin: Option<i64>,
}

/// A row of a table whose changes can be taken back.
pub(super) trait Row: Clone + Serialize + DeserializeOwned {
    /// The table.
    const SUBJECT: &'static str;

    fn read_in(tx: &Connection, key: &Key) -> Result<Option<Self>, RegisterError>;
    /// Writes the columns of a row that is there, in which `before` stands.
    fn write_in(&self, tx: &Connection, key: &Key, before: &Self) -> Result<(), RegisterError>;
    /// Adds the row, under a new key if none is given.
    fn insert_in(&self, tx: &Connection, key: Option<&Key>) -> Result<Key, RegisterError>;
    fn delete_in(tx: &Connection, key: &Key) -> Result<(), RegisterError>;

    /// Whose history it belongs to.
    fn about_in(&self, _tx: &Connection, _key: &Key) -> Result<About, RegisterError> {
        Ok(About::default())
    }

    /// What is left of a row whose addition is taken back; `None` where nothing is left. A code never dies, so what
    /// has one stays.
    fn taken_back(&self) -> Option<Self> {
        None
    }

    fn require_in(tx: &Connection, key: &Key) -> Result<Self, RegisterError> {
        Self::read_in(tx, key)?.ok_or_else(|| RegisterError::Damaged(format!("{} {key:?}", Self::SUBJECT)))
    }
}

/// All columns of a row.
pub(super) fn image(row: &impl Serialize) -> Map<String, Value> {
    match serde_json::to_value(row) {
        Ok(Value::Object(columns)) => columns,
        // Rows are flat structs of numbers and texts.
        _ => Map::new(),
    }
}

/// A row from its columns; those that are left out have nothing in them.
pub(super) fn from_image<R: Row>(columns: Map<String, Value>) -> Result<R, RegisterError> {
    serde_json::from_value(Value::Object(columns)).map_err(|fault| RegisterError::Damaged(fault.to_string()))
}

/// Declares a row of a table with a key of one column: its fields are the other columns.
macro_rules! plain_row {
    ($(#[$doc:meta])* $name:ident, $table:literal, $key:literal, { $($field:ident: $kind:ty),+ $(,)? },
     read $read:literal, write $write:literal, insert $insert:literal, delete $delete:literal
     $(, about $about:expr)? $(, taken_back $taken_back:expr)? $(,)?) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
        pub(super) struct $name { $(pub $field: $kind),+ }

        impl Row for $name {
            const SUBJECT: &'static str = $table;

            fn read_in(tx: &Connection, key: &Key) -> Result<Option<Self>, RegisterError> {
                let read = |row: &rusqlite::Row<'_>| Ok(Self { $($field: row.get(stringify!($field))?),+ });
                Ok(tx.prepare_cached($read)?.query_row([key], read).optional()?)
            }

            fn write_in(&self, tx: &Connection, key: &Key, _before: &Self) -> Result<(), RegisterError> {
                tx.prepare_cached($write)?.execute(params![key, $(self.$field),+])?;
                Ok(())
            }

            fn insert_in(&self, tx: &Connection, key: Option<&Key>) -> Result<Key, RegisterError> {
                let id = tx.prepare_cached($insert)?.query_row(params![key, $(self.$field),+], |row| row.get(0))?;
                Ok(id)
            }

            fn delete_in(tx: &Connection, key: &Key) -> Result<(), RegisterError> {
                tx.prepare_cached($delete)?.execute([key])?;
                Ok(())
            }

            $(fn about_in(&self, tx: &Connection, key: &Key) -> Result<About, RegisterError> {
                let about: fn(&Self, &Connection, &Key) -> Result<About, RegisterError> = $about;
                about(self, tx, key)
            })?

            $(fn taken_back(&self) -> Option<Self> {
                let taken_back: fn(&Self) -> Self = $taken_back;
                Some(taken_back(self))
            })?
        }
    };
}

plain_row!(
    /// A row of `area`.
    AreaRow, "area", "number", { name: String, walk_order: Option<i64> },
    read "SELECT * FROM area WHERE number = ?1",
    write "UPDATE area SET name = ?2, walk_order = ?3 WHERE number = ?1",
    insert "INSERT INTO area (number, name, walk_order) VALUES (?1, ?2, ?3) RETURNING number",
    delete "DELETE FROM area WHERE number = ?1",
);

plain_row!(
    /// A row of `spot`.
    SpotRow, "spot", "id", { area: i64, name: String, walk_order: i64 },
    read "SELECT * FROM spot WHERE id = ?1",
    write "UPDATE spot SET area = ?2, name = ?3, walk_order = ?4 WHERE id = ?1",
    insert "INSERT INTO spot (id, area, name, walk_order) VALUES (?1, ?2, ?3, ?4) RETURNING id",
    delete "DELETE FROM spot WHERE id = ?1",
);

plain_row!(
    /// A row of `bin`.
    BinRow, "bin", "id", {
        payload: String, area: i64, rank: i64, spot: Option<i64>, state: String, stack: Option<i64>,
        kind: Option<String>, volume: Option<i64>, max_grams: Option<i64>, inside: Option<String>,
        retired: Option<String>,
    },
    read "SELECT * FROM bin WHERE id = ?1",
    write "UPDATE bin SET payload = ?2, area = ?3, rank = ?4, spot = ?5, state = ?6, stack = ?7, kind = ?8, volume = ?9,
        max_grams = ?10, inside = ?11, retired = ?12 WHERE id = ?1",
    insert "INSERT INTO bin (id, payload, area, rank, spot, state, stack, kind, volume, max_grams, inside, retired)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12) RETURNING id",
    delete "DELETE FROM bin WHERE id = ?1",
    about |_, _, key| Ok(About { item: None, bin: Some(key.number()) }),
    taken_back |row| BinRow { state: "undone".into(), spot: None, kind: None, ..row.clone() },
);

plain_row!(
    /// A row of `bin_kind`.
    BinKindRow, "bin_kind", "name", { volume: Option<i64>, max_grams: Option<i64>, inside: Option<String> },
    read "SELECT * FROM bin_kind WHERE name = ?1",
    write "UPDATE bin_kind SET volume = ?2, max_grams = ?3, inside = ?4 WHERE name = ?1",
    insert "INSERT INTO bin_kind (name, volume, max_grams, inside) VALUES (?1, ?2, ?3, ?4) RETURNING name",
    delete "DELETE FROM bin_kind WHERE name = ?1",
);

plain_row!(
    /// A row of `item_size`.
    ItemSizeRow, "item_size", "name", { volume: i64 },
    read "SELECT * FROM item_size WHERE name = ?1",
    write "UPDATE item_size SET volume = ?2 WHERE name = ?1",
    insert "INSERT INTO item_size (name, volume) VALUES (?1, ?2) RETURNING name",
    delete "DELETE FROM item_size WHERE name = ?1",
);

plain_row!(
    /// A row of `regroup`.
    RegroupRow, "regroup", "id", { at: String, state: String, asked: String, outcome: String },
    read "SELECT * FROM regroup WHERE id = ?1",
    write "UPDATE regroup SET at = ?2, state = ?3, asked = ?4, outcome = ?5 WHERE id = ?1",
    insert "INSERT INTO regroup (id, at, state, asked, outcome) VALUES (?1, ?2, ?3, ?4, ?5) RETURNING id",
    delete "DELETE FROM regroup WHERE id = ?1",
);

plain_row!(
    /// A row of `regroup_move`.
    RegroupMoveRow, "regroup_move", "id", {
        regroup: i64, item: i64, source: i64, target: i64, taken_on: i64, put_on: i64, state: String,
    },
    read "SELECT * FROM regroup_move WHERE id = ?1",
    write "UPDATE regroup_move SET regroup = ?2, item = ?3, source = ?4, target = ?5, taken_on = ?6, put_on = ?7,
        state = ?8 WHERE id = ?1",
    insert "INSERT INTO regroup_move (id, regroup, item, source, target, taken_on, put_on, state)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8) RETURNING id",
    delete "DELETE FROM regroup_move WHERE id = ?1",
    about |row, _, _| Ok(About { item: Some(row.item), bin: None }),
);

plain_row!(
    /// A row of `name`: an old label of an item or a bin.
    OldNameRow, "name", "payload", { item: Option<i64>, bin: Option<i64>, old: String },
    read "SELECT * FROM name WHERE payload = ?1 AND old IS NOT NULL",
    write "UPDATE name SET item = ?2, bin = ?3, old = ?4 WHERE payload = ?1",
    insert "INSERT INTO name (payload, item, bin, old) VALUES (?1, ?2, ?3, ?4) RETURNING payload",
    delete "DELETE FROM name WHERE payload = ?1 AND old IS NOT NULL",
    about |row, _, _| Ok(About { item: row.item, bin: row.bin }),
);

plain_row!(
    /// A row of `setting`.
    SettingRow, "setting", "name", { value: String },
    read "SELECT * FROM setting WHERE name = ?1",
    write "UPDATE setting SET value = ?2 WHERE name = ?1",
    insert "INSERT INTO setting (name, value) VALUES (?1, ?2) RETURNING name",
    delete "DELETE FROM setting WHERE name = ?1",
);

plain_row!(
    /// A row of `import`.
    ImportRow, "import", "id", { at: String, file: String, sha256: String, items: i64 },
    read "SELECT * FROM import WHERE id = ?1",
    write "UPDATE import SET at = ?2, file = ?3, sha256 = ?4, items = ?5 WHERE id = ?1",
    insert "INSERT INTO import (id, at, file, sha256, items) VALUES (?1, ?2, ?3, ?4, ?5) RETURNING id",
    delete "DELETE FROM import WHERE id = ?1",
);

plain_row!(
    /// A row of `sale`.
    SaleRow, "sale", "id", {
        item: i64, day: String, price: Option<i64>, fees: i64, postage: i64, order_no: Option<String>,
        listed: Option<String>, picked: Option<String>, returned: Option<String>,
    },
    read "SELECT * FROM sale WHERE id = ?1",
    write "UPDATE sale SET item = ?2, day = ?3, price = ?4, fees = ?5, postage = ?6, order_no = ?7, listed = ?8,
        picked = ?9, returned = ?10 WHERE id = ?1",
    insert "INSERT INTO sale (id, item, day, price, fees, postage, order_no, listed, picked, returned)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10) RETURNING id",
    delete "DELETE FROM sale WHERE id = ?1",
    about |row, _, _| Ok(About { item: Some(row.item), bin: None }),
);

plain_row!(
    /// A row of `refund`.
    RefundRow, "refund", "id", { sale: i64, day: String, amount: i64, postage: i64 },
    read "SELECT * FROM refund WHERE id = ?1",
    write "UPDATE refund SET sale = ?2, day = ?3, amount = ?4, postage = ?5 WHERE id = ?1",
    insert "INSERT INTO refund (id, sale, day, amount, postage) VALUES (?1, ?2, ?3, ?4, ?5) RETURNING id",
    delete "DELETE FROM refund WHERE id = ?1",
    about |row, tx, _| {
        let item = tx.prepare_cached("SELECT item FROM sale WHERE id = ?1")?.query_row([row.sale], |row| row.get(0));
        Ok(About { item: item.optional()?, bin: None })
    },
);

plain_row!(
    /// A row of `expense`.
    ExpenseRow, "expense", "id", { day: String, amount: i64, what: String },
    read "SELECT * FROM expense WHERE id = ?1",
    write "UPDATE expense SET day = ?2, amount = ?3, what = ?4 WHERE id = ?1",
    insert "INSERT INTO expense (id, day, amount, what) VALUES (?1, ?2, ?3, ?4) RETURNING id",
    delete "DELETE FROM expense WHERE id = ?1",
);

plain_row!(
    /// A row of `tally`.
    TallyRow, "tally", "id", { bin: i64, day: String, present: i64, missing: i64, misplaced: i64, unknown: i64 },
    read "SELECT * FROM tally WHERE id = ?1",
    write "UPDATE tally SET bin = ?2, day = ?3, present = ?4, missing = ?5, misplaced = ?6, unknown = ?7 WHERE id = ?1",
    insert "INSERT INTO tally (id, bin, day, present, missing, misplaced, unknown)
        VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) RETURNING id",
    delete "DELETE FROM tally WHERE id = ?1",
    about |row, _, _| Ok(About { item: None, bin: Some(row.bin) }),
);

plain_row!(
    /// A row of `mapping`.
    MappingRow, "mapping", "headings", { columns: String },
    read "SELECT * FROM mapping WHERE headings = ?1",
    write "UPDATE mapping SET columns = ?2 WHERE headings = ?1",
    insert "INSERT INTO mapping (headings, columns) VALUES (?1, ?2) RETURNING headings",
    delete "DELETE FROM mapping WHERE headings = ?1",
);

/// Calls a function that is generic over [`Row`] for the table of this name.
macro_rules! for_subject {
    ($subject:expr, $function:ident ( $($argument:expr),* $(,)? )) => {
        match $subject {
            "item" => $function::<$crate::register::row::ItemRow>($($argument),*),
            "bin" => $function::<$crate::register::row::BinRow>($($argument),*),
            "spot" => $function::<$crate::register::row::SpotRow>($($argument),*),
            "area" => $function::<$crate::register::row::AreaRow>($($argument),*),
            "name" => $function::<$crate::register::row::OldNameRow>($($argument),*),
            "setting" => $function::<$crate::register::row::SettingRow>($($argument),*),
            "mapping" => $function::<$crate::register::row::MappingRow>($($argument),*),
            "import" => $function::<$crate::register::row::ImportRow>($($argument),*),
            "sale" => $function::<$crate::register::row::SaleRow>($($argument),*),
            "refund" => $function::<$crate::register::row::RefundRow>($($argument),*),
            "expense" => $function::<$crate::register::row::ExpenseRow>($($argument),*),
            "tally" => $function::<$crate::register::row::TallyRow>($($argument),*),
            "bin_kind" => $function::<$crate::register::row::BinKindRow>($($argument),*),
            "item_size" => $function::<$crate::register::row::ItemSizeRow>($($argument),*),
            "regroup" => $function::<$crate::register::row::RegroupRow>($($argument),*),
            "regroup_move" => $function::<$crate::register::row::RegroupMoveRow>($($argument),*),
            other => Err($crate::register::RegisterError::Damaged(other.to_owned())),
        }
    };
}
pub(super) use for_subject;
