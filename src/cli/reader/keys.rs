//! The keys of a terminal that hands over each at once: what they do to a reading, and what is shown of them.

use super::{Ends, Line, Reading};

const CTRL_C: u8 = 0x03;
const CTRL_D: u8 = 0x04;
const BACKSPACE: u8 = 0x08;
const CTRL_U: u8 = 0x15;
const CTRL_Z: u8 = 0x1a;
const ESCAPE: u8 = 0x1b;
const DELETE: u8 = 0x7f;

/// What a key did.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Press {
    /// The reading goes on.
    More,
    /// So many letters went away.
    Rub(usize),
    /// The reading has ended.
    Line(Reading),
    /// The session has ended.
    Leave,
    /// The session is broken off.
    BreakOff,
}

/// The keys of one reading after the other.
#[derive(Debug, Default)]
pub(super) struct Keys {
    line: Line,
    /// Bytes of the line that have been shown.
    shown: usize,
    arrow: Arrow,
    ends: Ends,
    /// The last press was Ctrl-D behind some letters.
    is_leaving: bool,
    /// Ctrl-C was pressed.
    pub(super) broken_off: bool,
}

/// How far a key that sends several bytes has come, such as an arrow.
#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
enum Arrow {
    #[default]
    None,
    Escape,
    /// Up to a letter.
    Long,
    /// One more byte.
    Short,
}

impl Keys {
    pub(super) fn press(&mut self, byte: u8) -> Press {
        if self.is_of_arrow(byte) {
            return Press::More;
        }
        if self.ends.is_end(byte, self.line.bytes.is_empty()) {
            return Press::Line(self.line.take());
        }
        match byte {
            CTRL_D if !self.line.bytes.is_empty() => {
                self.is_leaving = true;
                Press::Line(self.line.take())
            }
            CTRL_C => Press::BreakOff,
            CTRL_D => Press::Leave,
            BACKSPACE | DELETE => Press::Rub(usize::from(self.rub())),
            CTRL_U => Press::Rub(std::iter::repeat_with(|| self.rub()).take_while(|rubbed| *rubbed).count()),
            b'\n' | b'\r' | CTRL_Z | ESCAPE => Press::More,
            _ => {
                self.line.push(byte);
                Press::More
            }
        }
    }

    /// Whether Ctrl-D has ended the last reading and the session with it.
    pub(super) fn is_leaving(&self) -> bool {
        self.is_leaving
    }

    /// Adds what a terminal is to show of a press.
    pub(super) fn show(&mut self, press: &Press, out: &mut Vec<u8>) {
        match press {
            Press::Rub(letters) => out.extend(b"\x08 \x08".repeat(*letters)),
            Press::Line(_) => out.extend(b"\r\n"),
            Press::BreakOff if !self.line.bytes.is_empty() => out.extend(b"\r\n"),
            Press::More | Press::Leave | Press::BreakOff => {}
        }
        if !matches!(press, Press::More) {
            self.shown = self.line.bytes.len();
        }
        self.show_letters(out);
    }

    /// Whole letters only; control characters would act on the terminal.
    fn show_letters(&mut self, out: &mut Vec<u8>) {
        let fresh = &self.line.bytes[self.shown..];
        let text = match std::str::from_utf8(fresh) {
            Ok(text) => text.to_owned(),
            Err(fault) if fault.error_len().is_none() => return,
            Err(_) => String::from_utf8_lossy(fresh).into_owned(),
        };
        self.shown = self.line.bytes.len();
        out.extend(text.chars().filter(|c| !c.is_control()).collect::<String>().into_bytes());
    }

    /// Takes the last letter away.
    fn rub(&mut self) -> bool {
        let bytes = &mut self.line.bytes;
        let is_inner = |byte: u8| byte & 0b1100_0000 == 0b1000_0000;
        while bytes.pop_if(|byte| is_inner(*byte)).is_some() {}
        self.line.is_cut = false;
        bytes.pop().is_some_and(|byte| !byte.is_ascii_control())
    }

    fn is_of_arrow(&mut self, byte: u8) -> bool {
        let (is_of, next) = match (self.arrow, byte) {
            (Arrow::Escape, b'O') => (true, Arrow::Short),
            (Arrow::Long, b'@'..=b'~') | (Arrow::Short, _) => (true, Arrow::None),
            (Arrow::Escape, b'[') | (Arrow::Long, _) => (true, Arrow::Long),
            (_, ESCAPE) => (false, Arrow::Escape),
            _ => (false, Arrow::None),
        };
        self.arrow = next;
        is_of
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The readings, and all that the terminal shows.
    fn typed(bytes: &[u8]) -> (Vec<String>, String) {
        let (mut keys, mut readings, mut shown) = (Keys::default(), Vec::new(), Vec::new());
        for byte in bytes {
            let press = keys.press(*byte);
            keys.show(&press, &mut shown);
            match press {
                Press::Line(reading) => readings.push(reading.text),
                Press::Leave | Press::BreakOff => break,
                _ => {}
            }
            if keys.is_leaving() {
                break;
            }
        }
        (readings, String::from_utf8(shown).unwrap())
    }

    #[test]
    fn readings_end_with_enter_or_tab_and_are_shown() {
        let (readings, shown) = typed(b"4C\t4A001F\rpan\r\nx\t\r\n\n");
        assert_eq!(readings, ["4C", "4A001F", "pan", "x", ""]);
        assert_eq!(shown, "4C\r\n4A001F\r\npan\r\nx\r\n\r\n");
    }

    #[test]
    fn letters_are_shown_whole_and_taken_back_whole() {
        assert_eq!(typed("caf\u{e9}\u{7f}e\r".as_bytes()), (vec!["cafe".into()], "café\u{8} \u{8}e\r\n".into()));
        assert_eq!(
            typed(b"ab\x15c\x7f\x7f\r"),
            (vec![String::new()], "ab\u{8} \u{8}\u{8} \u{8}c\u{8} \u{8}\r\n".into())
        );
        assert_eq!(typed(b"\xff\r"), (vec!["\u{fffd}".into()], "\u{fffd}\r\n".into()));
    }

    /// CWE-150: control characters of a symbol don't reach the terminal.
    #[test]
    fn control_characters_and_arrows_are_not_shown() {
        assert_eq!(typed(b"a\x1b[2J\x1b[Ab\x1bOAc\x07\x1dd\r"), (vec!["abc\u{7}\u{1d}d".into()], "abcd\r\n".into()));
    }

    #[test]
    fn ctrl_d_ends_with_what_is_typed_and_ctrl_c_without() {
        assert_eq!(typed(b"a\rb\x04c\r"), (vec!["a".into(), "b".into()], "a\r\nb\r\n".into()));
        assert_eq!(typed(b"a\x03c\r"), (vec![], "a\r\n".into()));
        assert_eq!(typed(b"\x04c\r"), (vec![], String::new()));
    }
}
