//! The program from outside: every command as a user or another program calls it.
//!
//! One binary; [`support`] has the folder in which the real program runs and what it must answer. What a crash, a full
//! disk or a second program does to the register is in `register.rs` beside this file.

#[path = "commands/areas.rs"]
mod areas;
#[path = "commands/backup.rs"]
mod backup;
#[path = "commands/bins.rs"]
mod bins;
#[path = "commands/checks.rs"]
mod checks;
#[path = "commands/count.rs"]
mod count;
#[path = "commands/demo.rs"]
mod demo;
#[path = "commands/edits.rs"]
mod edits;
#[path = "commands/find.rs"]
mod find;
#[path = "commands/fonts.rs"]
mod fonts;
#[path = "commands/help.rs"]
mod help;
#[path = "commands/history.rs"]
mod history;
#[path = "commands/import.rs"]
mod import;
#[path = "commands/import_refused.rs"]
mod import_refused;
#[path = "commands/items.rs"]
mod items;
#[path = "commands/labels.rs"]
mod labels;
#[path = "commands/print.rs"]
mod print;
#[path = "commands/print_refused.rs"]
mod print_refused;
#[path = "commands/printers.rs"]
mod printers;
#[path = "commands/proofs.rs"]
mod proofs;
#[path = "commands/put.rs"]
mod put;
#[path = "commands/register_file.rs"]
mod register_file;
#[path = "commands/runs.rs"]
mod runs;
#[path = "commands/scan.rs"]
mod scan;
#[path = "commands/settings.rs"]
mod settings;
#[path = "commands/sheets.rs"]
mod sheets;
#[path = "commands/slots.rs"]
mod slots;
#[path = "commands/stow.rs"]
mod stow;
#[path = "commands/support.rs"]
mod support;
#[cfg(target_os = "linux")]
#[path = "commands/terminal.rs"]
mod terminal;
#[path = "commands/undo.rs"]
mod undo;
