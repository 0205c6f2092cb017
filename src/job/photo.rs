//! A photograph of tags and signs: the file, and what its symbols stand for.
//!
//! Start with [`photo`]; a scanning session takes the bare texts of [`photo_codes`]. Only the picture's pixels are looked
//! at: what else is in the file, as where it was taken, is neither read nor kept, and no more is the picture.

use std::{io::Cursor, panic::catch_unwind};

use image::{DynamicImage, ImageError, ImageFormat, ImageReader, Limits};

use super::{FindAnswer, reading::Meaning, reading::meaning, reference::code_text};
use crate::{
    output::Pixels,
    proof::read_photo,
    register::{Found, Register, RegisterError},
};

/// The most that the file of a photograph may have, in megabytes.
pub const LARGEST_PHOTO: usize = 40 * MEGABYTE;
const MEGABYTE: usize = 1_000_000;
/// The most pixels.
const MOST_PIXELS: u64 = 100 * MEGABYTE as u64;

/// Why a photograph can't be read.
#[derive(Debug, thiserror::Error)]
pub enum PhotoError {
    /// There is nothing in the file.
    #[error("the file is empty; choose a photograph, or take a new one")]
    Empty,
    /// It is of a kind that is not taken.
    #[error("it is {0}, and only JPEG and PNG are read; {advice}", advice = advice(.0))]
    Kind(&'static str),
    /// It is no picture at all, or one of a kind that nobody has named here.
    #[error("it is neither a JPEG nor a PNG; choose a photograph, or take a new one")]
    Unknown,
    /// The file is too large.
    #[error("it has {megabytes} MB, and photographs have up to 40 MB; set the camera to take smaller ones")]
    Large {
        /// Its size, rounded up.
        megabytes: usize,
    },
    /// Its pixels take too much memory.
    #[error("it takes more than 400 MB when it is unpacked; save a copy as JPEG")]
    Unpacked,
    /// It has too many pixels.
    #[error("it has {megapixels} megapixels, and up to 100 are read; set the camera to take smaller ones")]
    Pixels {
        /// How many, rounded up.
        megapixels: u64,
    },
    /// It can't be decoded.
    #[error("the picture is damaged; send it again, or take a new one")]
    Damaged(#[source] Option<ImageError>),
    /// The register refused.
    #[error(transparent)]
    Register(#[from] RegisterError),
}

fn advice(kind: &str) -> &'static str {
    match kind {
        "a HEIC picture" | "an AVIF picture" | "a raw picture" => "set the camera to take JPEG, or save a copy as JPEG",
        "a film" => "take a photograph",
        "a PDF" => "take a photograph, or prove the file",
        _ => "save a copy as JPEG",
    }
}

/// What is in photographs.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoAnswer {
    /// The items and bins, each once.
    pub found: FindAnswer,
    /// What else was read: codes that the register does not have, and other people's symbols.
    pub unknown: Vec<String>,
}

/// What the symbols in photographs stand for.
///
/// # Errors
/// [`PhotoError::Register`] when the register can't be read.
pub fn photo(register: &Register, texts: &[String]) -> Result<PhotoAnswer, PhotoError> {
    let (mut matches, mut unknown): (Vec<Found>, Vec<String>) = (Vec::new(), Vec::new());
    for text in texts {
        match meaning(register, text, false)? {
            Meaning::Found(found, _) if matches.iter().any(|known| is_same(known, &found)) => {}
            Meaning::Found(found, _) => matches.push(found),
            Meaning::Nothing(_) => unknown.push(code_text(text)),
        }
    }
    unknown.dedup();
    Ok(PhotoAnswer { found: FindAnswer::of(register, "", matches)?, unknown })
}

fn is_same(one: &Found, other: &Found) -> bool {
    match (one, other) {
        (Found::Item(one), Found::Item(other)) => one.id() == other.id(),
        (Found::Bin(one), Found::Bin(other)) => one.code == other.code,
        _ => false,
    }
}

/// What all symbols in a photograph say, each text once.
///
/// # Errors
/// [`PhotoError`] when it is no JPEG or PNG, too large or damaged.
pub fn photo_codes(file: &[u8]) -> Result<Vec<String>, PhotoError> {
    let format = format(file)?;
    if file.len() > LARGEST_PHOTO {
        return Err(PhotoError::Large { megabytes: file.len().div_ceil(MEGABYTE) });
    }
    Ok(read_photo(&pixels(file, format)?))
}

/// By its first bytes, whatever its name is.
fn format(file: &[u8]) -> Result<ImageFormat, PhotoError> {
    let kind = match file {
        [] => return Err(PhotoError::Empty),
        [0xFF, 0xD8, 0xFF, ..] => return Ok(ImageFormat::Jpeg),
        [0x89, b'P', b'N', b'G', ..] => return Ok(ImageFormat::Png),
        [_, _, _, _, b'f', b't', b'y', b'p', brand @ ..] => of_brand(brand),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => "a WebP picture",
        [b'G', b'I', b'F', b'8', ..] => "a GIF picture",
        [b'I', b'I', 42, 0, ..] | [b'M', b'M', 0, 42, ..] => "a TIFF or raw picture",
        [b'B', b'M', ..] => "a BMP picture",
        [0xFF, 0x0A, ..] | [0, 0, 0, 12, b'J', b'X', b'L', b' ', ..] => "a JPEG XL picture",
        [0, 0, 0, 12, b'j', b'P', b' ', b' ', ..] => "a JPEG 2000 picture",
        [b'%', b'P', b'D', b'F', ..] => "a PDF",
        _ => return Err(PhotoError::Unknown),
    };
    Err(PhotoError::Kind(kind))
}

/// By the brand of a file in boxes (ISO/IEC 14496-12, 4.3; ISO/IEC 23008-12, annex B; AVIF, 6).
fn of_brand(brand: &[u8]) -> &'static str {
    match brand.get(..4) {
        Some(b"heic" | b"heix" | b"hevc" | b"hevx" | b"heim" | b"heis" | b"mif1" | b"msf1") => "a HEIC picture",
        Some(b"avif" | b"avis") => "an AVIF picture",
        Some(b"crx ") => "a raw picture",
        _ => "a film",
    }
}

fn pixels(file: &[u8], format: ImageFormat) -> Result<Pixels, PhotoError> {
    let size = ImageReader::with_format(Cursor::new(file), format).into_dimensions();
    let (width, height) = size.map_err(|source| PhotoError::Damaged(Some(source)))?;
    let pixels = u64::from(width) * u64::from(height);
    if pixels > MOST_PIXELS {
        return Err(PhotoError::Pixels { megapixels: pixels.div_ceil(MEGABYTE as u64) });
    }
    // A decoder may stumble over a damaged file.
    let decoded = catch_unwind(|| decoded(file, format)).map_err(|_| PhotoError::Damaged(None))?;
    let luma = decoded.map_err(|source| match source {
        ImageError::Limits(_) => PhotoError::Unpacked,
        source => PhotoError::Damaged(Some(source)),
    })?;
    let luma = luma.into_luma8();
    Ok(Pixels { width: luma.width(), height: luma.height(), luma: luma.into_raw() })
}

fn decoded(file: &[u8], format: ImageFormat) -> Result<DynamicImage, ImageError> {
    let mut reader = ImageReader::with_format(Cursor::new(file), format);
    let mut limits = Limits::default();
    // Four bytes a pixel: no camera's JPEG needs more.
    limits.max_alloc = Some(MOST_PIXELS * 4);
    reader.limits(limits);
    reader.decode()
}

#[cfg(test)]
mod tests {
    use super::*;

    const NO_DATA: &[u8] = b"\0\0\0\x08IDAT\x78\x9c\x03\0\0\0\0\x01\x48\x06\x89\xd2";

    #[test]
    fn other_kinds_of_files_are_refused_by_name() {
        for (file, words) in [
            (&b""[..], "the file is empty"),
            (b"\0\0\0\x18ftypheic\0\0\0\0mif1heic", "a HEIC picture"),
            (b"\0\0\0\x18ftypmif1", "a HEIC picture"),
            (b"\0\0\0\x1cftypavif", "an AVIF picture"),
            (b"\0\0\0\x18ftypcrx ", "a raw picture"),
            (b"\0\0\0\x18ftypisom", "a film"),
            (b"\0\0\0\x18ftyp", "a film"),
            (b"RIFF\x10\0\0\0WEBPVP8 ", "a WebP picture"),
            (b"GIF89a", "a GIF picture"),
            (b"II*\0", "a TIFF or raw picture"),
            (b"MM\0*", "a TIFF or raw picture"),
            (b"BM6\0", "a BMP picture"),
            (b"\xff\x0a", "a JPEG XL picture"),
            (b"\0\0\0\x0cjP  ", "a JPEG 2000 picture"),
            (b"%PDF-1.7", "a PDF"),
            (b"title,cost", "neither a JPEG nor a PNG"),
            (b"\x89", "neither a JPEG nor a PNG"),
            (b"\xff\xd8\xff\xe0 cut off", "damaged"),
            (b"\x89PNG\r\n\x1a\n", "damaged"),
        ] {
            let error = photo_codes(file).unwrap_err().to_string();
            assert!(error.contains(words), "{error}");
        }
    }

    #[test]
    fn sizes_are_limited() {
        let large = [&b"\xff\xd8\xff\xe0"[..], &vec![0; LARGEST_PHOTO]].concat();
        assert!(matches!(photo_codes(&large), Err(PhotoError::Large { megabytes: 41 })));
        // PNG's signature, the head and the empty data of a picture (ISO/IEC 15948, 11.2.2): 20,000 x 20,000 in grey, and
        // 10,000 x 10,000 in four colours of sixteen bits.
        let png = |head: &[u8]| [b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR", head, NO_DATA].concat();
        let wide = png(b"\0\0\x4e\x20\0\0\x4e\x20\x08\0\0\0\0\xc6\x1b\x19\xe5");
        assert!(matches!(photo_codes(&wide), Err(PhotoError::Pixels { megapixels: 400 })));
        let deep = png(b"\0\0\x27\x10\0\0\x27\x10\x10\x06\0\0\0\xea\xde\xbe\x64");
        assert!(matches!(photo_codes(&deep), Err(PhotoError::Unpacked)));
    }
}
