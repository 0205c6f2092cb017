//! The program's words as a page says them: without hints to commands, which nobody types here.

use crate::register::Status;

/// What to try here, by the command that is named elsewhere; the first that fits.
const HINTS: [(&str, &str); 28] = [
    ("`lpstat ", "the printer settings of this computer show them"),
    (" --map ", "choose above what each column is"),
    ("stowmark find ", "Find looks for titles, Bins shows all bins"),
    ("stowmark area list", "Bins shows all areas, and adds others"),
    ("stowmark bin retire", "choose another bin, or take it into use again on its page"),
    ("stowmark bin list", "Bins shows those in use"),
    ("stowmark bin move", "its page says where in it"),
    ("stowmark bin kind", "see the kinds of bins under Settings"),
    ("stowmark bin edit", "say on its page how much it holds"),
    ("stowmark put CODE", "put them elsewhere first, or let Regroup say where"),
    ("stowmark put '", "put it into a bin first"),
    ("stowmark put ", "its page says that it is there again"),
    ("stowmark return", "its page corrects the sale, or takes it back in"),
    ("stowmark sold ", "its page says that it is sold"),
    ("stowmark history", "Changes shows what happened"),
    ("stowmark undo", "Changes can"),
    ("stowmark expense list", "Expenses shows all"),
    ("stowmark run list", "Labels shows all runs"),
    ("stowmark run show", "the page of the run shows where they are"),
    ("stowmark regroup go", "Regroup goes on with it, or drops it"),
    ("stowmark regroup drop", "drop the plan under Regroup, and look for another"),
    ("stowmark regroup plan", "Regroup looks for one"),
    ("stowmark size set", "see the sizes under Settings"),
    ("stowmark sheet ", "see the sheets under Labels"),
    ("stowmark printer ", "see the printers under Labels"),
    (" --font ", "boxes are printed in their place"),
    ("`stowmark font ", "Settings shows the fonts that were added, and removes them"),
    ("stowmark backup list", "see the backups under Settings"),
];

/// What was refused, as a sentence: in the place of a hint that names a command is the page that can do it.
pub(super) fn desk_words(text: &str) -> String {
    let text = text.replace("the register does not know it", "nothing here has this code");
    let text = text.replace("no face has", "no font has");
    let lines = text.lines().map(|line| {
        let mut parts: Vec<&str> = Vec::new();
        for part in line.split("; ").filter_map(here) {
            if !parts.contains(&part) {
                parts.push(part);
            }
        }
        parts.join("; ")
    });
    let kept: Vec<String> = lines.filter(|line| !line.trim().is_empty()).collect();
    sentence(&quoted(&if kept.is_empty() { text.clone() } else { kept.join("\n") }))
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

/// `20,000`
pub(super) fn grouped(number: usize) -> String {
    let digits = number.to_string();
    let parted = digits.char_indices().map(|(at, digit)| {
        let begins = at > 0 && (digits.len() - at).is_multiple_of(3);
        if begins { format!(",{digit}") } else { digit.to_string() }
    });
    parted.collect()
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

/// A part of what is said, as it is said here; options of commands are nothing here.
fn here(part: &str) -> Option<&str> {
    if !names_command(part) {
        return Some(part);
    }
    HINTS.iter().find(|(command, _)| part.contains(command)).map(|(_, hint)| *hint)
}

fn names_command(part: &str) -> bool {
    part.contains("`stowmark ") || part.contains("`lpstat ") || part.contains(" --") || part.starts_with("--")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn large_numbers_are_grouped() {
        for (number, text) in [(0, "0"), (999, "999"), (1000, "1,000"), (1_234_567, "1,234,567")] {
            assert_eq!(grouped(number), text);
        }
    }

    #[test]
    fn hints_to_commands_become_hints_to_pages() {
        for (text, told) in [
            (
                "there is no area 4; `stowmark area list` shows all",
                "There is no area 4; Bins shows all areas, and adds others.",
            ),
            (
                "the register does not know it (meant may be 4A-001F); `stowmark find WORDS` looks",
                "Nothing here has this code (meant may be 4A-001F); Find looks for titles, Bins shows all bins.",
            ),
            (
                "choose another sheet, symbol or resolution; --no-proof prints all the same",
                "Choose another sheet, symbol or resolution.",
            ),
            (
                "no face has `ש` of 4A-001F; shown as hollow boxes, so name a font that has them with --font FILE",
                "No font has “ש” of 4A-001F; boxes are printed in their place.",
            ),
            (
                "the font `/a.ttf` can't be read; check where it is, or forget it with `stowmark font remove`",
                "The font “/a.ttf” can't be read; Settings shows the fonts that were added, and removes them.",
            ),
            ("`stowmark json` prints it", "“stowmark json” prints it."),
            (
                "bin 4B is retired since 2026-11-21; `stowmark bin list` shows those in use, `stowmark bin retire 4B --back` does",
                "Bin 4B is retired since 2026-11-21; choose another bin, or take it into use again on its page.",
            ),
            ("`abc` is no amount; write it as 3.50", "“abc” is no amount; write it as 3.50."),
            ("no column holds `cost` or `5` bought", "No column holds “cost” or “5” bought."),
            (
                "`a b` is no name of a print queue; `lpstat -e` lists those of this computer",
                "“a b” is no name of a print queue; the printer settings of this computer show them.",
            ),
            ("a mark ` that stands alone", "A mark ` that stands alone."),
        ] {
            assert_eq!(desk_words(text), told);
        }
    }
}
