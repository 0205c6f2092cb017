//! The program's words as a page says them: without hints to commands, which nobody types here.

use crate::register::Status;

/// What was refused, as a sentence without hints that name commands or their options.
pub(super) fn desk_words(text: &str) -> String {
    let lines = text.lines().map(|line| {
        let parts: Vec<&str> = line.split("; ").filter(|part| !names_command(part)).collect();
        parts.join("; ")
    });
    let kept: Vec<String> = lines.filter(|line| !line.trim().is_empty()).collect();
    sentence(&quoted(&if kept.is_empty() { text.to_owned() } else { kept.join("\n") }))
}

/// A text with a capital at its beginning and a full stop at its end.
pub(super) fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    let ended = text.ends_with(['.', '!', '?']);
    first + letters.as_str() + if ended { "" } else { "." }
}

/// A text with quotation marks where the program writes backticks; one that stands alone stays as it is.
pub(super) fn quoted(text: &str) -> String {
    let parts: Vec<&str> = text.split('`').collect();
    let marks = |(at, part): (usize, &&str)| match at {
        0 => (*part).to_owned(),
        at if at % 2 == 0 => format!("”{part}"),
        at if at + 1 == parts.len() => format!("`{part}"),
        _ => format!("“{part}"),
    };
    parts.iter().enumerate().map(marks).collect()
}

/// A word in the place of a bin's code, for what is in none.
pub(super) fn bare(status: Status) -> &'static str {
    match status {
        Status::Waiting => "waits",
        Status::Held | Status::Listed | Status::Sold => "no bin",
        Status::Picked => "picked",
        Status::Gone => "gone",
        Status::Undone => "taken back",
    }
}

fn names_command(part: &str) -> bool {
    part.contains("`stowmark ") || part.contains(" --") || part.starts_with("--")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hints_to_commands_are_left_out() {
        for (text, told) in [
            ("there is no area 4; `stowmark area list` shows all", "There is no area 4."),
            (
                "the register does not know it (meant may be 4A-001F); `stowmark find WORDS` looks",
                "The register does not know it (meant may be 4A-001F).",
            ),
            (
                "choose another sheet, symbol or resolution; --no-proof prints all the same",
                "Choose another sheet, symbol or resolution.",
            ),
            ("`stowmark undo` takes it back", "“stowmark undo” takes it back."),
            ("`abc` is no amount; write it as 3.50", "“abc” is no amount; write it as 3.50."),
            ("no column holds `cost` or `5` bought", "No column holds “cost” or “5” bought."),
            ("a mark ` that stands alone", "A mark ` that stands alone."),
        ] {
            assert_eq!(desk_words(text), told);
        }
    }
}
