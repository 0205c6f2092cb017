//! How wide an answer may be.

use std::io::IsTerminal;

/// Where it goes to a file or another program.
const UNKNOWN: usize = 120;
/// Narrower than this nothing can be shown.
const LEAST: usize = 30;

/// Columns of the terminal, or as many as are usual elsewhere.
pub(super) fn width() -> usize {
    of_terminal().unwrap_or(UNKNOWN)
}

/// Columns of the terminal: what the variable `COLUMNS` says, else what the terminal itself says. Nothing where the
/// answer goes to a file or another program.
pub(super) fn of_terminal() -> Option<usize> {
    let said = std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok());
    let measured = || {
        let terminal = std::io::stdout().is_terminal().then(terminal_size::terminal_size)??;
        Some(usize::from(terminal.0.0))
    };
    Some(said.or_else(measured)?.max(LEAST))
}

/// Running text is not read in lines longer than this.
pub(super) fn text_width() -> usize {
    width().min(100)
}

/// Lines broken between words where they are too long.
pub(super) fn wrapped(text: &str, width: usize) -> String {
    text.lines().map(|line| wrapped_line(line, width)).collect::<Vec<_>>().join("\n")
}

fn wrapped_line(line: &str, width: usize) -> String {
    let (mut told, mut used) = (String::new(), 0);
    for word in line.split(' ') {
        let long = word.chars().count();
        if used > 0 {
            let breaks = used + 1 + long > width;
            told.push(if breaks { '\n' } else { ' ' });
            used = if breaks { 0 } else { used + 1 };
        }
        told.push_str(word);
        used += long;
    }
    told
}

#[cfg(test)]
mod tests {
    use super::wrapped;

    #[test]
    fn lines_are_broken_between_words() {
        assert_eq!(wrapped("one two three\nfour", 8), "one two\nthree\nfour");
        assert_eq!(wrapped("Suppenkasper", 4), "Suppenkasper");
    }
}
