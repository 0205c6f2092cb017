//! The register that is scanned into, and what has to be in it afterwards.

use std::path::Path;

use stowmark::{
    code::{AreaNumber, BinCode},
    output::sha256,
    register::{Access, ItemId, NewBins, NewItem, Register, Title},
};

use super::client::Tally;

/// Bins of the register.
pub const BINS: u16 = 300;
/// Items that a client has for itself.
pub const EACH: usize = 100;

/// What a client scans.
pub struct Share {
    /// Bins of its own.
    pub bins: Vec<BinCode>,
    /// Its items by their numbers, which are scanned as `#12`.
    pub items: Vec<u64>,
}

/// How many items there are.
pub fn items(clients: usize) -> usize {
    clients * EACH
}

/// Makes the register; each client gets bins and items of its own.
pub fn fill(path: &Path, clients: usize) -> Vec<Share> {
    let mut register = Register::open(path, Access::Create).expect("a register");
    let area = AreaNumber::new(4).expect("an area");
    register.add_area(area, "Loft").expect("an area");
    let bins: Vec<BinCode> =
        register.add_bins(area, &NewBins::new(BINS)).expect("bins").iter().map(|bin| bin.code).collect();
    let item = |number: usize| NewItem {
        bin: Some(bins[number % bins.len()]),
        ..NewItem::new(Title::new(&format!("Egg cup {number}")).expect("a title"))
    };
    let new: Vec<NewItem> = (0..items(clients)).map(item).collect();
    let added = register.add_items(&new, None).expect("items");
    let numbers: Vec<u64> = added.iter().map(|item| item.id().get().try_into().expect("a number")).collect();
    register.close().expect("it closes");
    let own = bins.len() / clients;
    assert!(own > 1, "at most {} clients", BINS / 2);
    let share = |(items, bins): (&[u64], &[BinCode])| Share { bins: bins.to_vec(), items: items.to_vec() };
    numbers.chunks(EACH).zip(bins.chunks(own)).map(share).collect()
}

/// Pairs a device for each client.
pub fn pair(path: &Path, clients: usize) {
    let mut register = Register::open(path, Access::Existing).expect("a register");
    for client in 0..clients {
        register.pair_device("Load", &sha256(secret(client).as_bytes()), false).expect("a device");
    }
    register.close().expect("it closes");
}

/// What the device of a client shows.
pub fn secret(client: usize) -> String {
    format!("load-{client}")
}

/// How many answered scans are not in the register as they were answered.
pub fn lost(path: &Path, tallies: &[Tally]) -> usize {
    let register = Register::open(path, Access::Existing).expect("a register");
    let is_lost = |scan: &&String| register.change_of_scan(scan).expect("it reads").is_none();
    let scans = tallies.iter().flat_map(|tally| &tally.stowed).filter(is_lost).count();
    let is_elsewhere = |(item, bin): &(&u64, &BinCode)| {
        let item = ItemId::parse(&format!("#{item}")).expect("a number");
        register.item(item).expect("it reads").and_then(|item| item.bin()) != Some(**bin)
    };
    let items = tallies.iter().flat_map(|tally| &tally.stand).filter(is_elsewhere).count();
    let changes = changes_of_scans(path);
    let stowed: usize = tallies.iter().map(|tally| tally.stowed.len()).sum();
    scans + items + stowed.abs_diff(changes)
}

fn changes_of_scans(path: &Path) -> usize {
    let connection = rusqlite::Connection::open(path).expect("a register");
    let sql = "SELECT count(*) FROM change WHERE scan IS NOT NULL";
    let changes: i64 = connection.query_row(sql, [], |row| row.get(0)).expect("a number");
    usize::try_from(changes).expect("a number")
}
