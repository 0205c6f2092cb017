//! Readings of a barcode reader, or what is typed in its place, one after the other.
//!
//! Start with [`Reader::begin`]. On a terminal keys are taken one by one, so that a reader that ends with a Tab works
//! there too; what is typed is shown, and the terminal is as before when the reader is dropped. Anywhere else bytes
//! are read as they come. What a reading stands for is decided elsewhere.

mod keys;

use std::io::{self, BufRead, Write};

use crossterm::terminal::{disable_raw_mode, enable_raw_mode};
use serde::Serialize;

use super::{outcome::CliError, session::Session};
use keys::{Keys, Press};

/// The most bytes that are kept of a reading; no symbol holds more (QR: 7,089 digits, ISO/IEC 18004).
const LONGEST: usize = 8192;

/// What was read at once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Reading {
    /// As text: bytes that are no UTF-8 are replaced, and what was cut off is an `…`.
    pub text: String,
    /// Whether it went on for longer than any symbol.
    pub is_cut: bool,
}

/// How an answer sounds on a terminal. A reader beeps by itself for what it could read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sound {
    /// Nothing to hear.
    Silent,
    /// Two bells.
    Refused,
}

/// The bytes of a reading that has not ended yet.
#[derive(Debug, Default)]
struct Line {
    bytes: Vec<u8>,
    is_cut: bool,
}

impl Line {
    /// Keeps a byte if there is room for it.
    fn push(&mut self, byte: u8) -> bool {
        self.is_cut |= self.bytes.len() >= LONGEST;
        if !self.is_cut {
            self.bytes.push(byte);
        }
        !self.is_cut
    }

    fn take(&mut self) -> Reading {
        let Self { bytes, is_cut } = std::mem::take(self);
        let mut text = String::from_utf8_lossy(&bytes).into_owned();
        if is_cut {
            text.push('…');
        }
        Reading { text, is_cut }
    }
}

/// Takes readings until the input ends.
pub(super) struct Reader {
    ends: Ends,
    /// Keys of a terminal, taken one by one.
    keys: Option<(Keys, RawMode)>,
    is_terminal: bool,
    skips_blank: bool,
}

impl Reader {
    /// Begins a session; on a terminal `hint` says what to do.
    pub(super) fn begin(session: &mut Session<'_, '_>, hint: &str) -> Result<Self, CliError> {
        let is_terminal = session.io().interactive && !session.json();
        let raw = if is_terminal { RawMode::begin() } else { None };
        let keys = raw.map(|raw| (Keys::default(), raw));
        let reader = Self { ends: Ends::default(), keys, is_terminal, skips_blank: !session.json() };
        if is_terminal {
            reader.write(session, &format!("{hint} {END_HINT}\n\n"))?;
        }
        Ok(reader)
    }

    /// Whether a person sits before it.
    pub(super) fn is_terminal(&self) -> bool {
        self.is_terminal
    }

    /// Whether the session was broken off with Ctrl-C.
    pub(super) fn is_broken_off(&self) -> bool {
        self.keys.as_ref().is_some_and(|(keys, _)| keys.broken_off)
    }

    /// The next reading; blank ones are answered with `--json` only.
    pub(super) fn next(&mut self, session: &mut Session<'_, '_>) -> Result<Option<Reading>, CliError> {
        loop {
            let reading = match &mut self.keys {
                Some((keys, _)) => typed(keys, session)?,
                None => self.ends.next(&mut session.io().input)?,
            };
            if reading.as_ref().is_none_or(|reading| !self.skips_blank || !reading.text.trim().is_empty()) {
                return Ok(reading);
            }
        }
    }

    /// Writes the answer to a reading: as JSON, or as text for people.
    pub(super) fn answer(
        &self,
        session: &mut Session<'_, '_>,
        sound: Sound,
        json: &impl Serialize,
        text: impl FnOnce() -> String,
    ) -> Result<(), CliError> {
        if !self.is_terminal {
            return session.answer(json, text);
        }
        let bells = if sound == Sound::Refused { "\u{7}\u{7}" } else { "" };
        self.write(session, &format!("{bells}{}\n", text()))
    }

    /// Ends the session; what is written from here on is written as ever.
    pub(super) fn end(self, session: &mut Session<'_, '_>) -> Result<(), CliError> {
        if self.is_terminal && self.keys.is_none() {
            writeln!(session.io().out)?;
        }
        Ok(())
    }

    /// A terminal whose keys are taken one by one does not return to the left by itself.
    fn write(&self, session: &mut Session<'_, '_>, text: &str) -> Result<(), CliError> {
        let out = &mut session.io().out;
        match &self.keys {
            Some(_) => out.write_all(text.replace('\n', "\r\n").as_bytes())?,
            None => out.write_all(text.as_bytes())?,
        }
        Ok(out.flush()?)
    }
}

#[cfg(windows)]
const END_HINT: &str = "Ctrl-Z ends it.";
#[cfg(not(windows))]
const END_HINT: &str = "Ctrl-D ends it.";

/// Shows keys as they are typed, until a reading has ended.
fn typed(keys: &mut Keys, session: &mut Session<'_, '_>) -> io::Result<Option<Reading>> {
    let io = session.io();
    loop {
        if keys.is_leaving() {
            return Ok(None);
        }
        let Some(byte) = next_byte(&mut io.input)? else { return Ok(None) };
        let (mut shown, press) = (Vec::new(), keys.press(byte));
        keys.show(&press, &mut shown);
        io.out.write_all(&shown)?;
        io.out.flush()?;
        match press {
            Press::Line(reading) => return Ok(Some(reading)),
            Press::Leave => return Ok(None),
            Press::BreakOff => {
                keys.broken_off = true;
                return Ok(None);
            }
            Press::More | Press::Rub(_) => {}
        }
    }
}

/// How readings end where bytes come without a terminal: with LF, CR, CRLF or a Tab, or with the input.
#[derive(Debug, Default)]
struct Ends {
    /// The last end, so that CRLF counts once.
    last: Option<u8>,
}

impl Ends {
    fn next(&mut self, input: &mut dyn BufRead) -> io::Result<Option<Reading>> {
        let (mut line, mut is_new) = (Line::default(), true);
        while let Some(byte) = next_byte(input)? {
            if self.is_end(byte, is_new) {
                return Ok(Some(line.take()));
            }
            if !matches!(byte, b'\n' | b'\r') {
                line.push(byte);
                is_new = false;
            }
        }
        Ok((!is_new).then(|| line.take()))
    }

    /// Whether a byte ends a reading; LF behind CR, and CR or LF behind a Tab, belong to the end before them.
    fn is_end(&mut self, byte: u8, is_new: bool) -> bool {
        let before = self.last.take().filter(|_| is_new);
        let is_end = matches!(byte, b'\n' | b'\r' | b'\t');
        self.last = is_end.then_some(byte);
        is_end && !matches!((byte, before), (b'\n', Some(b'\r')) | (b'\n' | b'\r', Some(b'\t')))
    }
}

fn next_byte(input: &mut dyn BufRead) -> io::Result<Option<u8>> {
    loop {
        match input.fill_buf() {
            Ok([]) => return Ok(None),
            Ok([byte, ..]) => {
                let byte = *byte;
                input.consume(1);
                return Ok(Some(byte));
            }
            Err(fault) if fault.kind() == io::ErrorKind::Interrupted => {}
            Err(fault) => return Err(fault),
        }
    }
}

/// A terminal that hands over each key at once; as before when this is dropped, also by a panic.
struct RawMode;

impl RawMode {
    /// `None` where the terminal does not let itself be set; lines are read there.
    fn begin() -> Option<Self> {
        enable_raw_mode().ok().map(|()| Self)
    }
}

impl Drop for RawMode {
    fn drop(&mut self) {
        // Nobody is left to be told.
        let _ = disable_raw_mode();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(mut input: &[u8]) -> Vec<String> {
        let mut ends = Ends::default();
        std::iter::from_fn(|| ends.next(&mut input).unwrap()).map(|reading| reading.text).collect()
    }

    #[test]
    fn readings_end_as_readers_end_them() {
        assert_eq!(readings(b"a\nb\r\nc\rd\te\t\r\nf"), ["a", "b", "c", "d", "e", "f"]);
        assert_eq!(readings(b"a\n\nb\n"), ["a", "", "b"]);
        assert_eq!(readings(b"\n\n"), ["", ""]);
        assert_eq!(readings(b"a\r\r\nb\t\t"), ["a", "", "b", ""]);
        assert_eq!(readings(b""), Vec::<String>::new());
        assert_eq!(readings(b"\xff\0\n"), ["\u{fffd}\0"]);
    }

    #[test]
    fn what_is_longer_than_a_symbol_is_cut() {
        let long = [vec![b'x'; LONGEST + 1], b"\ny".to_vec()].concat();
        let (mut input, mut ends) = (long.as_slice(), Ends::default());
        let first = ends.next(&mut input).unwrap().unwrap();
        assert_eq!((first.text.chars().count(), first.is_cut), (LONGEST + 1, true));
        assert!(first.text.ends_with("x…"));
        assert_eq!(ends.next(&mut input).unwrap().unwrap(), Reading { text: "y".into(), is_cut: false });
        let whole = vec![b'x'; LONGEST];
        assert!(!ends.next(&mut whole.as_slice()).unwrap().unwrap().is_cut);
    }
}
