//! How wide an answer may be.

use std::io::IsTerminal;

/// Where it goes to a file or another program.
const UNKNOWN: usize = 120;
/// Narrower than this nothing can be shown.
const LEAST: usize = 30;

/// Columns of the terminal: what the variable `COLUMNS` says, else what the terminal itself says.
pub(super) fn width() -> usize {
    let said = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let measured = || {
        let terminal = std::io::stdout().is_terminal().then(terminal_size::terminal_size)??;
        Some(usize::from(terminal.0.0))
    };
    said.or_else(measured).unwrap_or(UNKNOWN).max(LEAST)
}
