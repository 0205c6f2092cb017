//! Figures of a register of 1,000,000 items in 20,000 bins with 3,000,000 rows in its journal: finding, stowing,
//! importing, opening.
//!
//! The register is made once by the library's own methods and kept under `target/tmp/trade`; another one is made when
//! the structure changes. What changes it works on a copy.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

mod figures;
mod find;
mod open;
mod stock;
mod stow;
mod titles;

const ITEMS: [usize; 3] = [1_000, 100_000, 1_000_000];

fn main() {
    println!(
        "registers in {}; 2.2 GB of disk are used while it runs, and some minutes the first time",
        stock::folder().display()
    );
    let registers: Vec<(usize, PathBuf)> = ITEMS.iter().map(|&items| (items, stock::register(items))).collect();
    let largest = &registers[2].1;
    println!("1,000,000 items, 20,000 bins, 3,000,000 rows in the journal, {} MB:", megabytes(largest));
    find::print(largest, 1_000_000);
    open::print(&registers);
    open::listings(largest);
    let copy = stock::folder().join("copy.db");
    fs::copy(largest, &copy).expect("room for a copy");
    stow::print_stow(&copy, 1_000_000);
    stow::print_import(&copy);
    for end in ["", ".lock"] {
        let _ = fs::remove_file(format!("{}{end}", copy.display()));
    }
}

fn megabytes(path: &Path) -> u64 {
    path.metadata().expect("a file").len() / 1_000_000
}

/// Runs the program to its end.
fn program(register: &Path, arguments: &[&str]) {
    let mut command = Command::new(env!("CARGO_BIN_EXE_stowmark"));
    let done = command.arg("--register").arg(register).args(arguments).output().expect("it runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
}
