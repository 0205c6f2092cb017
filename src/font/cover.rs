//! Which face has which characters of a text.

use unicode_normalization::UnicodeNormalization;
use unicode_segmentation::UnicodeSegmentation;

use super::{Face, FaceId, Fonts};

/// Characters that steer how others look and are never seen themselves: joiners, direction marks,
/// variation selectors (a part of Unicode's `Default_Ignorable_Code_Point`).
pub(super) fn is_unseen(character: char) -> bool {
    matches!(character,
        '\u{AD}' | '\u{34F}' | '\u{61C}' | '\u{180B}'..='\u{180F}' | '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FE00}'..='\u{FE0F}' | '\u{FEFF}'
        | '\u{E0000}'..='\u{E0FFF}')
}

/// A piece of text in one face, or in none.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Covered<'a> {
    pub text: &'a str,
    /// Which of the faces for a weight.
    pub face: Option<usize>,
}

/// Cuts a text into pieces, each in one face: whole words where one face has them, else letter by
/// letter with what belongs to each.
pub(super) fn covered<'a>(fonts: &Fonts, weight: FaceId, text: &'a str) -> Vec<Covered<'a>> {
    let words = text.split_inclusive(' ');
    words
        .flat_map(|word| match fonts.faces(weight).position(|face| has_all(face, word)) {
            Some(face) => vec![Covered { text: word, face: Some(face) }],
            None => letter_by_letter(fonts, weight, word),
        })
        .collect()
}

fn letter_by_letter<'a>(fonts: &Fonts, weight: FaceId, word: &'a str) -> Vec<Covered<'a>> {
    let mut pieces: Vec<Covered<'a>> = Vec::new();
    let mut start = 0;
    for (at, letter) in word.grapheme_indices(true) {
        let face = fonts.faces(weight).position(|face| has_all(face, letter));
        match pieces.last_mut() {
            Some(last) if last.face == face && face.is_some() => last.text = &word[start..at + letter.len()],
            _ => {
                start = at;
                pieces.push(Covered { text: letter, face });
            }
        }
    }
    pieces
}

/// Whether a face has all characters, as they are or composed.
fn has_all(face: &Face, text: &str) -> bool {
    let has = |character| is_unseen(character) || face.has(character);
    text.chars().all(has) || text.nfc().all(has)
}

/// The characters of a text that no face has, each once.
pub(super) fn missing(fonts: &Fonts, weight: FaceId, text: &str) -> Vec<char> {
    let mut found = Vec::new();
    for piece in covered(fonts, weight, text).iter().filter(|piece| piece.face.is_none()) {
        let seen = || piece.text.chars().filter(|character| !is_unseen(*character));
        let lacks = |character: &char| !fonts.faces(weight).any(|face| face.has(*character));
        // Where each character is in some face but none has them all, they are all named.
        let all = !seen().any(|character| lacks(&character));
        for character in seen().filter(|character| all || lacks(character)) {
            if !found.contains(&character) {
                found.push(character);
            }
        }
    }
    found
}
