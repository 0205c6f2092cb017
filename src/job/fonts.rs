//! Fonts of the user: loaded with their checks, remembered, forgotten.

use std::path::{Path, PathBuf};

use crate::{
    font::{FontError, Fonts, UserFont},
    output::FileError,
    register::{Register, RegisterError, RememberedFont},
};

/// Why fonts could not be taken.
#[derive(Debug, thiserror::Error)]
pub enum FontsError {
    /// A file was refused.
    #[error(transparent)]
    Font(#[from] FontError),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
    /// One that was sent can't be put beside the register.
    #[error(transparent)]
    File(#[from] FileError),
    /// Something else lies where one that was sent would go.
    #[error("`{0}` is there already and holds something else; move it elsewhere, and send the font again")]
    Other(PathBuf),
}

/// How a remembered font is at present.
#[derive(Debug)]
pub struct FontState {
    /// What is remembered.
    pub font: RememberedFont,
    /// The font as it is now, or why it can't be used.
    pub now: Result<UserFont, FontError>,
}

impl FontState {
    /// One word for how it is: `ready`, `changed`, `missing`, `broken`.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match &self.now {
            Ok(_) => "ready",
            Err(FontError::Changed(_)) => "changed",
            Err(FontError::Read { .. }) => "missing",
            Err(_) => "broken",
        }
    }
}

/// The bundled faces with those that the register remembers, and these behind them, which it then
/// remembers too.
///
/// # Errors
/// [`FontsError`] when a file can't be used or is another one than was added; nothing is changed then.
pub fn fonts_of(register: &mut Register, new: &[PathBuf]) -> Result<Fonts, FontsError> {
    let added: Vec<UserFont> = new.iter().map(|path| UserFont::read(&whole(path)?)).collect::<Result<_, _>>()?;
    let is_new = |remembered: &RememberedFont| added.iter().any(|font| is_at(font, &remembered.path));
    let mut fonts = Vec::new();
    for remembered in register.fonts()? {
        // One that is named again is taken as it is now.
        let known = if is_new(&remembered) { None } else { Some(unchanged(&remembered)?) };
        fonts.extend(known);
    }
    fonts.extend(added.iter().cloned());
    if !added.is_empty() {
        register.add_fonts(&added.iter().map(remembered).collect::<Vec<_>>())?;
    }
    Ok(Fonts::with(&in_order(fonts, &register.fonts()?)))
}

/// The bundled faces with those that the register remembers.
///
/// # Errors
/// [`FontsError`] when a file is gone or another one than was added.
pub fn fonts_known(register: &Register) -> Result<Fonts, FontsError> {
    let fonts: Vec<UserFont> = register.fonts()?.iter().map(unchanged).collect::<Result<_, _>>()?;
    Ok(Fonts::with(&fonts))
}

/// Remembers a font file.
///
/// # Errors
/// [`FontsError`]; nothing is changed then.
pub fn add_font(register: &mut Register, path: &Path) -> Result<UserFont, FontsError> {
    let font = UserFont::read(&whole(path)?)?;
    register.add_fonts(&[remembered(&font)])?;
    Ok(font)
}

/// Forgets a font, by its file or by its name; the file itself stays.
///
/// # Errors
/// [`FontsError`] when no such font is remembered.
pub fn remove_font(register: &mut Register, path: &Path) -> Result<RememberedFont, FontsError> {
    let wanted = whole(path).unwrap_or_else(|_| path.to_owned());
    let is_wanted = |font: &RememberedFont| {
        [wanted.as_path(), path].contains(&Path::new(&font.path)) || Some(font.family.as_str()) == path.to_str()
    };
    let found = register.fonts()?.into_iter().find(is_wanted);
    let font = found.ok_or_else(|| FontError::Unknown(path.to_owned()))?;
    register.remove_font(&font.path)?;
    Ok(font)
}

/// The remembered fonts, each as it is now.
///
/// # Errors
/// [`RegisterError`] when the register can't be read.
pub fn font_states(register: &Register) -> Result<Vec<FontState>, RegisterError> {
    let state = |font: RememberedFont| FontState { now: unchanged(&font), font };
    Ok(register.fonts()?.into_iter().map(state).collect())
}

fn unchanged(remembered: &RememberedFont) -> Result<UserFont, FontError> {
    let font = UserFont::read(Path::new(&remembered.path))?;
    if font.sha256 == remembered.sha256 { Ok(font) } else { Err(FontError::Changed(font.path)) }
}

/// The file with its folder, since the next command may be given in another one.
fn whole(path: &Path) -> Result<PathBuf, FontError> {
    std::path::absolute(path).map_err(|source| FontError::Read { path: path.to_owned(), source })
}

pub(super) fn remembered(font: &UserFont) -> RememberedFont {
    RememberedFont {
        path: font.path.to_string_lossy().into_owned(),
        sha256: font.sha256.clone(),
        family: font.family.clone(),
    }
}

fn is_at(font: &UserFont, path: &str) -> bool {
    font.path.to_string_lossy() == path
}

fn in_order(fonts: Vec<UserFont>, order: &[RememberedFont]) -> Vec<UserFont> {
    let place = |font: &UserFont| order.iter().position(|known| is_at(font, &known.path));
    let mut fonts = fonts;
    fonts.sort_by_key(place);
    fonts.dedup_by(|one, other| one.path == other.path);
    fonts
}
