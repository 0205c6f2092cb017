//! Fonts of the user: read, checked, and refused with the reason.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use sha2::{Digest, Sha256};

use super::{Face, FontError, face::Data};

/// A font file of the user that can be used.
#[derive(Debug, Clone, PartialEq)]
pub struct UserFont {
    /// The file as it was named.
    pub path: PathBuf,
    /// SHA-256 of its content, in hexadecimal digits.
    pub sha256: String,
    /// The name that it gives itself.
    pub family: String,
    /// How many characters it has.
    pub characters: usize,
    /// The face; the first one of a collection.
    pub face: Arc<Face>,
}

impl UserFont {
    /// Reads a font file.
    ///
    /// # Errors
    /// [`FontError`] when it can't be read, is no font with outlines, or may not be embedded.
    pub fn read(path: &Path) -> Result<Self, FontError> {
        let bytes = std::fs::read(path).map_err(|source| FontError::Read { path: path.to_owned(), source })?;
        Self::from_bytes(path, bytes)
    }

    /// Takes a font file's content.
    ///
    /// # Errors
    /// [`FontError`] as [`Self::read`].
    pub fn from_bytes(path: &Path, bytes: Vec<u8>) -> Result<Self, FontError> {
        let broken = || FontError::NotAFont(path.to_owned());
        let sha256: String = Sha256::digest(&bytes).iter().map(|byte| format!("{byte:02x}")).collect();
        let parsed = ttf_parser::Face::parse(&bytes, 0).map_err(|_| broken())?;
        check_permission(&parsed, path)?;
        check_outlines(&parsed, path)?;
        let characters = characters(&parsed);
        if characters == 0 {
            return Err(FontError::NoCharacters(path.to_owned()));
        }
        let family = family(&parsed).unwrap_or_else(|| "without a name".into());
        let name = document_name(&family, &sha256);
        let face = Face::new(name, Data::Own(Arc::new(bytes))).ok_or_else(broken)?;
        check_embedding(&face, path)?;
        Ok(Self { path: path.to_owned(), sha256, family, characters, face: Arc::new(face) })
    }
}

/// What the maker allows: OS/2 `fsType` (OpenType 1.9). A font without the table allows all.
fn check_permission(face: &ttf_parser::Face<'_>, path: &Path) -> Result<(), FontError> {
    let forbidden = match face.permissions() {
        Some(ttf_parser::Permissions::Restricted) => "to embed it in a document",
        _ if !face.is_subsetting_allowed() => "to embed a part of it",
        _ if !face.is_outline_embedding_allowed() => "to embed its outlines",
        _ => return Ok(()),
    };
    Err(FontError::Forbidden { path: path.to_owned(), forbidden, fs_type: fs_type(face) })
}

fn fs_type(face: &ttf_parser::Face<'_>) -> u16 {
    let table = face.raw_face().table(ttf_parser::Tag::from_bytes(b"OS/2"));
    table.and_then(|table| table.get(8..10)).map_or(0, |bytes| u16::from_be_bytes([bytes[0], bytes[1]]))
}

/// Outlines of TrueType or CFF; those of CFF2 can't be embedded.
fn check_outlines(face: &ttf_parser::Face<'_>, path: &Path) -> Result<(), FontError> {
    let tables = face.tables();
    if tables.glyf.is_some() || tables.cff.is_some() { Ok(()) } else { Err(FontError::NoOutlines(path.to_owned())) }
}

fn characters(face: &ttf_parser::Face<'_>) -> usize {
    let subtables = face.tables().cmap.into_iter().flat_map(|cmap| cmap.subtables);
    let count = |subtable: ttf_parser::cmap::Subtable<'_>| {
        let mut count = 0;
        subtable.codepoints(|_| count += 1);
        count
    };
    subtables.filter(ttf_parser::cmap::Subtable::is_unicode).map(count).max().unwrap_or(0)
}

fn family(face: &ttf_parser::Face<'_>) -> Option<String> {
    let names = face.names().into_iter().filter(|name| name.name_id == ttf_parser::name_id::FULL_NAME);
    names.filter_map(|name| name.to_string()).find(|name| !name.trim().is_empty())
}

/// Letters and digits of the name and a piece of the hash, since two fonts may have one name.
fn document_name(family: &str, sha256: &str) -> String {
    let letters = family.chars().filter(char::is_ascii_alphanumeric).take(40).collect::<String>();
    format!("{letters}-{}", &sha256[..8])
}

/// Whether a glyph can be cut out, so that no run fails later.
fn check_embedding(face: &Face, path: &Path) -> Result<(), FontError> {
    let mut remapper = subsetter::GlyphRemapper::new();
    remapper.remap(1);
    subsetter::subset(face.bytes(), 0, &remapper).map(drop).map_err(|_| FontError::NotAFont(path.to_owned()))
}
