//! The register: the one file that knows areas, bins, items and printed labels, and the only place with SQL.
//!
//! Start with [`Register::open`]. Every change is one transaction with its rows in the journal.
//! Whether a request makes sense beyond the register's own rules is decided above.

mod area;
mod backup;
mod batch;
mod begun;
mod bin;
mod bulk;
mod change;
mod check;
mod device;
mod edit;
mod error;
mod expense;
mod font;
mod history;
mod import;
mod item;
mod item_row;
mod journal;
mod kind;
mod last_label;
mod listing;
mod listing_page;
mod lock;
mod mapping;
mod old_name;
mod open;
mod order;
mod own_sheet;
mod pick;
mod place;
mod printed;
mod printer;
mod reading;
mod record;
mod regroup;
mod restore;
mod retag;
mod retire;
mod returns;
mod row;
mod run;
mod sale;
mod search;
mod setting;
mod settle;
mod slots;
mod standing;
mod status;
mod tally;
mod target;
mod terms;
mod title;
mod together;
mod trade;
mod undo;

pub use area::Area;
pub use batch::{Batch, ItemChange};
pub use begun::Begun;
pub use bin::{Bin, BinKind, NewBins};
pub use bulk::{Bulk, BulkEdit, BulkRecord, Room};
pub use change::ChangeId;
pub use check::{Checked, Problem};
pub use device::{Device, DeviceId};
pub use edit::{Edit, ItemEdit};
pub use error::RegisterError;
pub use expense::Expense;
pub use font::RememberedFont;
pub use history::{JournalEntry, JournalRow, PrintedOf};
pub use import::NewImport;
pub use item::{Item, ItemId, Move, NewItem, SoldAs, Stowed};
pub use kind::RoomEdit;
pub use last_label::{LabelOwner, LastLabel};
pub use listing::ItemFilter;
pub use listing_page::{ItemOrder, ItemPage};
pub use lock::Lock;
pub use mapping::NewMapping;
pub use old_name::OldCode;
pub use open::{Access, default_path};
pub use order::{BinEdit, SpotInArea};
pub use own_sheet::OwnSheet;
pub use pick::Pick;
pub use place::{Place, Spot, SpotId};
pub use printed::{RecordedLabel, RecordedRun, Run, RunId, RunKind, RunState, RunSummary};
pub use printer::{PlaceRecord, PrinterRecord};
pub use record::{ItemRecord, MoveRecord, SaleRecord};
pub use regroup::{Carried, MoveState, NewRegroup, NewRegroupMove, Regroup, RegroupId, RegroupMove};
pub use restore::Staged;
pub use retag::Retagged;
pub use retire::AreaChange;
pub use returns::NewRefund;
pub use run::{LabelOf, NewLabel, NewRun};
pub use sale::{NewSale, Sale, SaleEdit, sold_words};
pub use search::Words;
pub(crate) use setting::TOLD_OF_PART_USED;
pub use settle::Settled;
pub use slots::LastSheet;
pub use status::Status;
pub use tally::{Fixed, NewTally, TallyRecord};
pub use terms::{Terms, Version};
pub use title::{Title, TitleError};
pub use together::{GroupSync, Written};
pub use trade::{RefundRecord, StockRecord, StockSale};
pub use undo::{ChangeSummary, Later};

use std::{
    cell::Cell,
    path::{Path, PathBuf},
    sync::{
        Arc,
        atomic::{AtomicBool, Ordering},
    },
};

use rusqlite::Connection;

use change::Change;

use crate::code::StockCode;

/// An open register.
#[derive(Debug)]
pub struct Register {
    connection: Connection,
    path: PathBuf,
    is_read_only: bool,
    /// How the file was when it was opened without a look at other programs.
    read_as: Option<reading::FileState>,
    /// Whether a change was committed.
    changed: Arc<AtomicBool>,
    /// On which terms the next change is made.
    terms: Option<Terms>,
    /// The last change that was committed through it.
    made: Cell<Option<ChangeId>>,
}

/// What a code stands for.
#[derive(Debug, Clone, PartialEq)]
pub enum Found {
    /// An item.
    Item(Item),
    /// A bin.
    Bin(Bin),
}

impl Register {
    /// Where the file is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether it can be read only, as its disk may not be written to or is full.
    #[must_use]
    pub fn is_read_only(&self) -> bool {
        self.is_read_only
    }

    /// Whether anything was changed in it since it was opened.
    #[must_use]
    pub fn has_changed(&self) -> bool {
        self.changed.load(Ordering::Relaxed)
    }

    /// Makes something, and tells the last change that came of it: the one that is taken back when it was wrong.
    pub fn noting<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> (T, Option<ChangeId>) {
        self.made.set(None);
        let outcome = make(self);
        (outcome, self.made.take())
    }

    /// Whether a file is the register or one of those beside it that belong to it.
    #[must_use]
    pub fn owns(&self, file: &Path) -> bool {
        let real = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
        let beside = ["-wal", "-shm", ".lock"].map(|end| format!("{}{end}", real(&self.path).display()));
        let file = real(file);
        file == real(&self.path) || beside.iter().any(|own| file == Path::new(own))
    }

    /// What a code stands for now, also one that an item or a bin had before.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn look_up(&self, code: StockCode) -> Result<Option<Found>, RegisterError> {
        let payload = code.payload();
        if let Some(item) = self.item_by_payload(&payload)? {
            return Ok(Some(Found::Item(item)));
        }
        Ok(self.bin_by_payload(&payload)?.map(Found::Bin))
    }

    /// Closes the file. With no other program at it, everything is in it then and no side files are left.
    ///
    /// # Errors
    /// [`RegisterError`] when the last of it can't be written; [`RegisterError::ChangedMeanwhile`].
    pub fn close(self) -> Result<(), RegisterError> {
        self.read_as.as_ref().map_or(Ok(()), |state| state.require_unchanged(&self.path))?;
        self.connection.close().map_err(|(_, source)| source.into())
    }
}
