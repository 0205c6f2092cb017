//! The bytes of a file as text: UTF-8, UTF-16 or Windows-1252, with or without a byte order mark.
//!
//! Start with [`decode`].
//! A file in another code page of one byte a character reads as Windows-1252; nothing in it tells them apart.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};

use super::CsvError;

/// How many bytes are looked at for the NULs of UTF-16.
const SAMPLE: usize = 512;
/// NULs that make UTF-16 of a file: the shortest title headings have four letters.
const FEWEST_NULS: usize = 4;
/// Bytes that Windows-1252 leaves undefined (WHATWG Encoding Standard, index windows-1252).
const UNDEFINED: [u8; 5] = [0x81, 0x8d, 0x8f, 0x90, 0x9d];

/// The text of a file, without its byte order mark.
pub(super) fn decode(bytes: &[u8]) -> Result<Cow<'_, str>, CsvError> {
    let text = match bytes {
        [b'P', b'K', 3, 4, ..] => Err(CsvError::Spreadsheet("zipped")),
        [0xd0, 0xcf, 0x11, 0xe0, ..] => Err(CsvError::Spreadsheet("binary")),
        [0xff, 0xfe, 0, 0, ..] | [0, 0, 0xfe, 0xff, ..] => Err(CsvError::Utf32),
        [0xff, 0xfe, rest @ ..] => utf16(rest, UTF_16LE),
        [0xfe, 0xff, rest @ ..] => utf16(rest, UTF_16BE),
        [0xef, 0xbb, 0xbf, rest @ ..] => str::from_utf8(rest).map(Cow::Borrowed).map_err(|_| CsvError::Encoding),
        _ => unmarked(bytes),
    }?;
    if text.contains('\0') { Err(CsvError::Nul) } else { Ok(without_mark(text)) }
}

/// A mark may be there twice, and the `csv` crate would drop it in silence.
fn without_mark(text: Cow<'_, str>) -> Cow<'_, str> {
    match text {
        Cow::Borrowed(text) => Cow::Borrowed(text.trim_start_matches('\u{feff}')),
        Cow::Owned(text) => Cow::Owned(text.trim_start_matches('\u{feff}').to_owned()),
    }
}

fn unmarked(bytes: &[u8]) -> Result<Cow<'_, str>, CsvError> {
    if let Some(encoding) = utf16_by_nuls(bytes) {
        return utf16(bytes, encoding);
    }
    match str::from_utf8(bytes) {
        Ok(text) => Ok(Cow::Borrowed(text)),
        Err(_) if is_windows_1252(bytes) => Ok(WINDOWS_1252.decode_without_bom_handling(bytes).0),
        Err(_) => Err(CsvError::Encoding),
    }
}

fn utf16<'a>(bytes: &'a [u8], encoding: &'static Encoding) -> Result<Cow<'a, str>, CsvError> {
    if bytes.len() % 2 == 1 {
        return Err(CsvError::Utf16Length(bytes.len()));
    }
    encoding.decode_without_bom_handling_and_without_replacement(bytes).ok_or(CsvError::Utf16Surrogate)
}

/// In UTF-16 every other byte of plain letters is NUL; in UTF-32 three of four are, on both sides.
fn utf16_by_nuls(bytes: &[u8]) -> Option<&'static Encoding> {
    let nuls = |start: usize| bytes.iter().take(SAMPLE).skip(start).step_by(2).filter(|byte| **byte == 0).count();
    let (first, second) = (nuls(0), nuls(1));
    let is_side = |side: usize, other: usize| side >= FEWEST_NULS && side > 4 * other;
    match () {
        () if is_side(second, first) => Some(UTF_16LE),
        () if is_side(first, second) => Some(UTF_16BE),
        () => None,
    }
}

fn is_windows_1252(bytes: &[u8]) -> bool {
    let is_text = |byte: &u8| matches!(byte, b'\t' | b'\r' | b'\n' | 0x20..) && !UNDEFINED.contains(byte);
    bytes.iter().all(is_text) && !is_mostly_utf8(bytes)
}

/// UTF-8 with a few broken bytes would read as Windows-1252 too, but as gibberish.
fn is_mostly_utf8(bytes: &[u8]) -> bool {
    let chunks = || bytes.utf8_chunks();
    let wide: usize = chunks().map(|chunk| chunk.valid().chars().filter(|c| !c.is_ascii()).count()).sum();
    wide > chunks().filter(|chunk| !chunk.invalid().is_empty()).count()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "title\r\nCafetière, 8 €, 🫖\r\n";

    fn units(text: &str, to_bytes: fn(u16) -> [u8; 2]) -> Vec<u8> {
        text.encode_utf16().flat_map(to_bytes).collect()
    }

    fn message(bytes: &[u8]) -> String {
        decode(bytes).unwrap_err().to_string()
    }

    #[test]
    fn encodings_are_recognised() {
        let marked = format!("\u{feff}{TEXT}");
        let cases = [
            ("utf-8", TEXT.as_bytes().to_vec()),
            ("utf-8, marked", marked.clone().into_bytes()),
            ("utf-8, marked twice", format!("\u{feff}{marked}").into_bytes()),
            ("utf-16 le, marked", units(&marked, u16::to_le_bytes)),
            ("utf-16 be, marked", units(&marked, u16::to_be_bytes)),
            ("utf-16 le", units(TEXT, u16::to_le_bytes)),
            ("utf-16 be", units(TEXT, u16::to_be_bytes)),
        ];
        for (name, bytes) in cases {
            assert_eq!(decode(&bytes).unwrap(), TEXT, "{name}");
        }
        assert_eq!(decode(b"").unwrap(), "");
    }

    #[test]
    fn utf16_without_a_mark_is_recognised_above_rows_without_any_nul() {
        let text = format!("item\n{}", "茶".repeat(400));
        assert_eq!(decode(&units(&text, u16::to_le_bytes)).unwrap(), text);
        assert_eq!(decode(&units(&text, u16::to_be_bytes)).unwrap(), text);
    }

    #[test]
    fn windows_1252_is_the_last_resort() {
        assert_eq!(
            decode(b"title\tx\r\nCafeti\xe8re \x80 8 \x96 \xab CAF\xc9\xbb").unwrap(),
            "title\tx\r\nCafetière € 8 – « CAFÉ»"
        );
        let unlikely: [&[u8]; 5] = [
            b"title\nCafeti\xe8re \x81",
            b"title\nCafeti\xe8re \x9d",
            b"title\nCafeti\xe8re \x07",
            b"\xef\xbb\xbftitle\nCafeti\xe8re",
            "title\nCafetière für 8 \u{20ac}".as_bytes().split_last().unwrap().1,
        ];
        for bytes in unlikely {
            assert_eq!(message(bytes), "the encoding of the file is not recognised; save it as CSV UTF-8", "{bytes:?}");
        }
    }

    #[test]
    fn other_files_are_refused_by_name() {
        let cases: [(&[u8], &str); 8] = [
            (b"PK\x03\x04\x14\0", "this is a zipped spreadsheet file, not CSV; open it and export it as CSV"),
            (b"\xd0\xcf\x11\xe0\xa1", "this is a binary spreadsheet file, not CSV; open it and export it as CSV"),
            (b"\xff\xfe\0\0t\0\0\0", "the file is UTF-32, which is not read; save it as CSV UTF-8"),
            (b"\0\0\xfe\xff\0\0\0t", "the file is UTF-32, which is not read; save it as CSV UTF-8"),
            (
                b"\xff\xfet\0i",
                "the file is UTF-16 of `3` bytes, an odd number, so its end is missing; save it again as CSV UTF-8",
            ),
            (
                b"\xff\xfet\0\x3d\xd8",
                "the file is UTF-16 with broken characters (half of a surrogate pair); save it again as CSV UTF-8",
            ),
            (b"title\nPan\0", "the file holds NUL characters, so it is no text; save it as CSV UTF-8"),
            (
                b"t\0\0\0i\0\0\0t\0\0\0l\0\0\0e\0\0\0",
                "the file holds NUL characters, so it is no text; save it as CSV UTF-8",
            ),
        ];
        for (bytes, expected) in cases {
            assert_eq!(message(bytes), expected);
        }
        assert!(matches!(decode(&units("item\0", u16::to_le_bytes)), Err(CsvError::Nul)));
    }
}
