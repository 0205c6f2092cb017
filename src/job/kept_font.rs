//! A font that comes as bytes, as a browser sends it: looked at, put beside the register, remembered.
//!
//! Start with [`keep_font`]. The file's name tells what is in it, so that no other font is ever written over.

use std::path::{Path, PathBuf};

use super::fonts::{FontsError, remembered};
use crate::{
    font::UserFont,
    output::{FileError, PendingFile, sha256},
    register::Register,
};

/// The folder beside the register.
const FOLDER: &str = "fonts";
/// So much of a name is kept.
const NAME: usize = 60;
/// So many digits of the SHA-256 are in a file's name.
const DIGITS: usize = 16;

/// What became of a font that was sent.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptFont {
    /// The font; its path is where it lies now.
    pub font: UserFont,
    /// Whether the register had it already, so that nothing was changed.
    pub was_there: bool,
}

/// Where fonts that were sent lie.
#[must_use]
pub fn font_folder(register: &Path) -> PathBuf {
    register.parent().unwrap_or(Path::new(".")).join(FOLDER)
}

/// Takes a font that was sent under a name: its file is put beside the register and remembered, as
/// [`add_font`](super::add_font) remembers one.
///
/// # Errors
/// [`FontsError`] when it can't be used, or can't be written; nothing is changed and nothing is left behind then.
pub fn keep_font(register: &mut Register, name: &str, bytes: Vec<u8>) -> Result<KeptFont, FontsError> {
    let name = last_part(name);
    let file = font_folder(register.path()).join(safe_name(name, &bytes));
    let font = UserFont::from_bytes(Path::new(name), bytes)?;
    if let Some(font) = ready(register, &font)? {
        return Ok(KeptFont { font, was_there: true });
    }
    let file = std::path::absolute(&file).map_err(|source| FileError::Refused { path: file, source })?;
    let font = UserFont { path: file, ..font };
    let is_new = put_in_place(&font)?;
    register.add_fonts(&[remembered(&font)]).inspect_err(|_| take_away(&font.path, is_new))?;
    Ok(KeptFont { font, was_there: false })
}

/// The same font where the register has it and its file is as it was.
fn ready(register: &Register, font: &UserFont) -> Result<Option<UserFont>, FontsError> {
    let known = register.fonts()?.into_iter().filter(|known| known.sha256 == font.sha256);
    let paths = known.map(|known| PathBuf::from(known.path));
    let mut there = paths.filter(|path| holds(path, &font.sha256));
    Ok(there.next().map(|path| UserFont { path, ..font.clone() }))
}

fn holds(file: &Path, hash: &str) -> bool {
    std::fs::read(file).is_ok_and(|bytes| sha256(&bytes) == hash)
}

/// Gives whether the file is new: one that was forgotten lies there still.
fn put_in_place(font: &UserFont) -> Result<bool, FontsError> {
    if holds(&font.path, &font.sha256) {
        return Ok(false);
    }
    let folder = font.path.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(|source| FileError::Refused { path: font.path.clone(), source })?;
    let written = PendingFile::new(&font.path, false)
        .and_then(|pending| pending.write(font.face.bytes()).and_then(|()| pending.put_in_place()));
    written.inspect_err(|_| remove_empty(folder)).map(|()| true).map_err(|fault| match fault {
        FileError::Exists(file) => FontsError::Other(file),
        fault => fault.into(),
    })
}

/// Removes what was written for nothing.
fn take_away(file: &Path, is_new: bool) {
    if is_new {
        // A left-over is harmless.
        let _ = std::fs::remove_file(file);
        remove_empty(file.parent().unwrap_or(Path::new(".")));
    }
}

fn remove_empty(folder: &Path) {
    // One with something in it stays.
    let _ = std::fs::remove_dir(folder);
}

/// What stands behind the last stroke, whichever way it leans.
fn last_part(name: &str) -> &str {
    name.rsplit(['/', '\\']).find(|part| !part.trim().is_empty()).unwrap_or("font")
}

/// `NotoSansHebrew-1a2b3c4d5e6f7a8b.ttf`: a plain name on every system, another one for other bytes.
fn safe_name(name: &str, bytes: &[u8]) -> String {
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let plain = |c: char| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' };
    let stem: String = stem.trim().chars().take(NAME).map(plain).collect();
    let stem = stem.trim_matches('_');
    let stem = if stem.is_empty() { "font" } else { stem };
    format!("{stem}-{}.{}", &sha256(bytes)[..DIGITS], ending(bytes))
}

/// By what the file begins with (OpenType 1.9, "Organization of an OpenType font").
fn ending(bytes: &[u8]) -> &'static str {
    match bytes.get(..4) {
        Some(b"OTTO") => "otf",
        Some(b"ttcf") => "ttc",
        _ => "ttf",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_files_can_lead_nowhere_and_are_never_another_fonts() {
        let digits = &sha256(b"OTTO1")[..DIGITS];
        for (name, stem) in [
            ("My Font (bold).ttf", "My_Font__bold"),
            ("../../etc/passwd", "passwd"),
            ("C:\\fonts\\CON.ttf", "CON"),
            ("ש.otf", "font"),
            ("", "font"),
            ("..", "font"),
            ("/", "font"),
            ("a\0\r\n\"b.ttf", "a____b"),
        ] {
            assert_eq!(safe_name(last_part(name), b"OTTO1"), format!("{stem}-{digits}.otf"), "{name:?}");
        }
        assert_ne!(safe_name("a.ttf", b"one"), safe_name("a.ttf", b"two"));
        assert!(safe_name(&"x".repeat(300), b"ttcf").len() < 100);
    }

    fn sample() -> Vec<u8> {
        std::fs::read(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/fonts/hebrew.ttf")).unwrap()
    }

    #[test]
    fn what_lies_there_is_not_written_over() {
        let folder = tempfile::tempdir().unwrap();
        let mut register = Register::open(&folder.path().join("register.db"), crate::register::Access::Create).unwrap();
        let file = font_folder(register.path()).join(safe_name("hebrew.ttf", &sample()));
        std::fs::create_dir_all(file.parent().unwrap()).unwrap();
        std::fs::write(&file, "something else").unwrap();
        let refused = keep_font(&mut register, "hebrew.ttf", sample()).unwrap_err();
        assert!(matches!(refused, FontsError::Other(_)), "{refused}");
        assert_eq!(std::fs::read(&file).unwrap(), b"something else");
        assert!(register.fonts().unwrap().is_empty());
        // The right one there is taken as it is.
        std::fs::write(&file, sample()).unwrap();
        assert!(!keep_font(&mut register, "hebrew.ttf", sample()).unwrap().was_there);
        assert!(keep_font(&mut register, "again.ttf", sample()).unwrap().was_there);
        assert_eq!(register.fonts().unwrap().len(), 1);
    }
}
