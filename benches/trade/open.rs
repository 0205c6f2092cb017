//! Opening registers of several sizes, and the listings of the largest.

use std::path::{Path, PathBuf};

use stowmark::{
    code::AreaNumber,
    job::open,
    register::{Access, ItemFilter, Register},
};

use super::{
    figures::{median_of, mention, tell},
    program,
};

/// Opening is measured on these, the smallest first.
pub fn print(registers: &[(usize, PathBuf)]) {
    let times: Vec<f64> = registers.iter().map(|(_, path)| median_of(101, || opened(path))).collect();
    for ((items, path), time) in registers.iter().zip(&times) {
        mention(&format!("open and close, {items} items"), *time, "ms");
        mention("  area list, whole process", median_of(21, || program(path, &["area", "list"])), "ms");
    }
    let ratio = times[times.len() - 1] / times[0];
    tell("opening, the largest to the smallest", ratio, "", "at most 1.5", ratio <= 1.5);
}

fn opened(path: &Path) {
    open(path, Access::Existing).expect("a register").register.close().expect("it closes");
}

/// Listings, which read much by their nature.
pub fn listings(path: &Path) {
    let register = Register::open(path, Access::Existing).expect("a register");
    let area = AreaNumber::new(4).expect("an area");
    let bins = register.bins(Some(area)).expect("it reads");
    let within = ItemFilter::within(bins[7].code);
    mention("items of one bin", median_of(9, || register.items(&within)), "ms");
    mention("bins of one area, with their counts", median_of(9, || register.bins(Some(area))), "ms");
    mention("all bins, with their counts", median_of(3, || register.bins(None)), "ms");
    let of_area = ItemFilter { area: Some(area), ..ItemFilter::default() };
    mention("items of one area", median_of(3, || register.items(&of_area)), "ms");
    mention("all items without a tag", median_of(1, || register.items(&ItemFilter::untagged())), "ms");
    mention("the last 20 changes", median_of(9, || register.last_changes(20)), "ms");
}
