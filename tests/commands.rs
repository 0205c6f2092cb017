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
#[path = "commands/expenses.rs"]
mod expenses;
#[path = "commands/export.rs"]
mod export;
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
#[path = "commands/import_columns.rs"]
mod import_columns;
#[path = "commands/import_refused.rs"]
mod import_refused;
#[path = "commands/import_sheets.rs"]
mod import_sheets;
#[path = "commands/import_stock.rs"]
mod import_stock;
#[path = "commands/items.rs"]
mod items;
#[path = "commands/json_page.rs"]
mod json_page;
#[path = "commands/labels.rs"]
mod labels;
#[path = "commands/lift.rs"]
mod lift;
#[path = "commands/office.rs"]
mod office;
#[path = "commands/order.rs"]
mod order;
#[path = "commands/photos.rs"]
mod photos;
#[path = "commands/pick.rs"]
mod pick;
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
#[path = "commands/regroup.rs"]
mod regroup;
#[path = "commands/regroup_go.rs"]
mod regroup_go;
#[path = "commands/retag.rs"]
mod retag;
#[path = "commands/returns.rs"]
mod returns;
#[path = "commands/room.rs"]
mod room;
#[path = "commands/room_import.rs"]
mod room_import;
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
#[path = "commands/sold.rs"]
mod sold;
#[path = "commands/sold_import.rs"]
mod sold_import;
#[path = "commands/stale.rs"]
mod stale;
#[path = "commands/stow.rs"]
mod stow;
#[path = "commands/support.rs"]
mod support;
#[path = "commands/takings.rs"]
mod takings;
#[cfg(target_os = "linux")]
#[path = "commands/terminal.rs"]
mod terminal;
#[path = "commands/undo.rs"]
mod undo;
#[path = "commands/ways.rs"]
mod ways;
