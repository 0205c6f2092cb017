//! The things that users ask for, each walked down the whole road: find, import, print, set.
//!
//! Start with [`find()`], [`import()`], [`print()`] and [`reprint()`]. The command line calls these, and so will other
//! front ends; how an answer looks is theirs.

mod accuracy;
mod align;
mod backup;
mod bin_edit;
mod choice;
mod count;
mod export;
mod find;
mod floor;
mod fonts;
mod fullness;
mod history;
mod import;
mod kept_font;
mod lift;
mod listings;
mod meant;
mod open;
mod orders;
mod photo;
mod pick;
mod picture;
mod print;
mod printer;
mod printer_words;
mod proof;
mod reading;
mod reference;
mod regroup;
mod retag;
mod room_words;
mod round;
mod round_page;
mod run;
mod sale;
mod scan_words;
mod send;
mod settings;
mod sheet;
mod size;
mod stale;
mod stale_on;
mod stale_words;
mod stockroom;
mod stow;
mod takings;
mod takings_words;
mod tick_list;
mod wanted;
mod words;

pub use accuracy::{Accuracies, DueBin, accuracies, counts_due};
pub use align::{AlignOptions, AlignPageError, align, align_pdf, usual_align_sheet};
pub use backup::{
    BackupError, BackupFile, DAYS_KEPT, Restored, back_up, back_up_daily, back_up_if_due, back_up_today, daily_backups,
    daily_folder, restore,
};
pub use bin_edit::{BinsEdited, StackError, edit_bins, place_in_stack};
pub use choice::{Choice, area_signs, strips};
pub use count::{Count, CountError, Counted, Ignored, Reckoned, fixed_lines, missing_line};
pub use export::{ExportError, ExportOptions, Exported, Stream, export, export_to};
pub use find::{FindAnswer, find};
pub use floor::{Floor, FloorArea, FloorSpot, Standing, floor, free_area_number};
pub use fonts::{FontState, FontsError, add_font, font_states, fonts_known, fonts_of, remove_font};
pub use fullness::{RoomFor, RoomWarning, RoomWatch, capacity, fills, room_for, room_warnings};
pub use history::{Happened, HistoryLine, HistoryOf, happened, history, history_since};
pub use import::{
    Draft, FileColumn, FileColumns, ImportError, ImportNote, ImportOptions, Imported, Lot, LotBy, LotError, PlacedBin,
    Placement, Placing, Waiting, changed_words, columns_of, draft, draft_of, import, order_columns, row_text,
};
pub use kept_font::{KeptFont, font_folder, keep_font};
pub use lift::{LIFT_CAUTION, LiftPart, TurnError, lift_advice, lift_parts, lift_pounds, lift_turn};
pub use listings::{recoded, unlisted};
pub use open::{Opened, PlaceWarning, open};
pub use orders::{
    ByTitle, DraftSale, KnownRow, OrderDraft, OrderOptions, OrdersEntered, draft_orders, draft_orders_of,
};
pub use photo::{LARGEST_PHOTO, PhotoAnswer, PhotoError, photo, photo_codes};
pub use pick::{PickRefusal, PickSession, Picking};
pub use picture::{PictureError, write_pngs};
pub use print::{
    Field, Hint, LabelJob, Look, LookWish, OwnLook, Prepared, PrintError, PrintOptions, PrintWarning, Printed,
    PrintedLabel, PrintedSymbol, SheetState, Start, StartError, prepare, preview, print,
};
pub use printer::{
    PlaceChange, Printer, PrinterChange, PrinterError, add_printer, change_printer, device, printer_by_name, printers,
    remove_printer,
};
pub use printer_words::correction_text;
pub use proof::{FileProof, KnownSymbol, Progress, ProofError, proof_file, read_back_run};
pub use reading::Unread;
pub use reference::{ReferenceError, bin_by_text, found_by_scan, found_by_text, fresh, item_by_text, items_by_text};
pub use regroup::{
    Ending, GoRefusal, Going, Grouped, MOST_GRAMS, MOST_THINGS, Next, Plan, Planned, RegroupError, RegroupGo,
    RegroupWish, Together, Visit, Worth, moves_pdf, open_plan, plan_regroup, plan_regroup_unless, planned_line,
    planned_text, print_moves,
};
pub use retag::{RetagChoice, RetagOutcome, retag};
pub use room_words::{assumed_of, assumed_text, fill_figures, fill_kilograms, fill_litres, room_doubt, room_text};
pub use round::{Stop, round, stops};
pub use round_page::{ListPdf, RoundPage, RoundPageError, RoundPageOptions, print_round, round_pdf};
pub use run::{Again, Freed, Reprint, ReprintError, cancel, freed, label_said, reprint, run_by_text};
pub use sale::{SaleOptions, Sharing, amend, refunded_text, sell, sharing, sharing_text};
pub use scan_words::{
    NOTHING_TO_PICK, bin_line, going_text, left_text, picking_text, put_back_text, put_text, repaired_text, round_size,
    settled_text,
};
pub use send::{JobTicket, SendError, send};
pub use settings::{SETTINGS, SettingError, Settings, check, set, set_all};
pub use sheet::{SheetNameError, Sheets, add_sheet, remove_sheet, sheet_by_name, sheet_in_use};
pub use size::{CountedSize, SizeError, counted_sizes, remove_size, set_size, size_by_text, sizes};
pub use stale::{RetagCost, StaleAnswer, StaleLabel, StaleScope, bare_spots, moved_cost, retag_cost, stale, stale_of};
pub use stale_on::{PrintedOn, printed_on};
pub use stale_words::{LabelAbout, cost_text};
pub use stockroom::{Fill, Stocked, Stockroom};
pub use stow::{Stow, StowError, StowRepair, Stowing};
pub use takings::{TakingsError, TakingsFile, TakingsOptions, takings, takings_csv, write_takings};
pub use takings_words::{
    NO_TAX_ADVICE, TakingsColumn, age_columns, age_text, earned_columns, goal_text, stock_columns, takings_heading,
    takings_notes,
};
pub use tick_list::{TickList, TickListError, TickListOptions, tick_list, tick_list_pdf};
pub use wanted::{Otherwise, PrintWish, Wanted, WantedError, print_options};
pub use words::{
    ahead_text, bin_state, bulk_text, count, fate, found_line, item_line, listed, local_day, local_time, move_line,
    old_codes_text, place_text, shown, stack_text, today, was, whereabouts, with_causes,
};
