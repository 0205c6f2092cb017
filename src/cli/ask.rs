//! Questions to the person at the terminal.

use std::io::{BufRead, Write};

use super::{outcome::CliError, session::Session};

/// Whether a yes is asked for before something is done: only a person at a terminal can give one.
pub(super) fn must_ask(is_interactive: bool, is_json: bool, yes: bool) -> bool {
    is_interactive && !is_json && !yes
}

impl Session<'_, '_> {
    /// Whether a person can be asked.
    pub(super) fn can_ask(&mut self) -> bool {
        must_ask(self.io().interactive, self.json(), false)
    }

    /// The line that is typed behind a question; empty when there is no more.
    pub(super) fn ask(&mut self, question: &str) -> Result<String, CliError> {
        let io = self.io();
        write!(io.out, "{question} ")?;
        io.out.flush()?;
        let mut line = Vec::new();
        if io.input.read_until(b'\n', &mut line)? == 0 {
            writeln!(io.out)?;
        }
        Ok(String::from_utf8_lossy(&line).trim().to_owned())
    }

    /// Whether the answer to a question is yes; anything else is no.
    pub(super) fn ask_yes(&mut self, question: &str) -> Result<bool, CliError> {
        let answer = self.ask(&format!("{question} [y/N]"))?.to_lowercase();
        Ok(matches!(answer.as_str(), "y" | "yes"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_person_at_a_terminal_is_asked() {
        assert!(must_ask(true, false, false));
        for (is_interactive, is_json, yes) in [(false, false, false), (true, true, false), (true, false, true)] {
            assert!(!must_ask(is_interactive, is_json, yes), "{is_interactive} {is_json} {yes}");
        }
    }
}
