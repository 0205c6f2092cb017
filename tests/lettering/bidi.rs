//! Right-to-left runs, as the Unicode Standard's annex shows them.

use stowmark::font::{Direction, FaceId};

use super::{fonts, runs};

/// In the annex's examples capitals stand for letters that run from the right.
const LETTERS: [(char, char); 10] = [
    ('A', 'א'),
    ('C', 'ג'),
    ('D', 'ד'),
    ('E', 'ה'),
    ('I', 'י'),
    ('M', 'מ'),
    ('N', 'נ'),
    ('O', 'ע'),
    ('R', 'ר'),
    ('S', 'ש'),
];

fn stored(example: &str) -> String {
    let letter = |letter| LETTERS.iter().find(|known| known.0 == letter).map_or(letter, |known| known.1);
    example.chars().map(letter).collect()
}

/// The letters of a line as they are seen, left to right.
fn seen(example: &str, direction: Direction) -> String {
    let shaped = fonts(&["hebrew.ttf"]).shape(FaceId::Regular, &stored(example), direction);
    let mut seen = String::new();
    for run in runs(&shaped) {
        for glyph in &run.glyphs {
            let letter = run.text[usize::from(glyph.cluster)..].chars().next().unwrap();
            seen.push(LETTERS.iter().find(|known| known.1 == letter).map_or(letter, |known| known.0));
        }
    }
    seen
}

/// Unicode Standard Annex #9, 3.4, rule L2 [S, its examples, cited from memory].
#[test]
fn lines_are_reordered_as_in_the_annex() {
    assert_eq!(seen("car means CAR.", Direction::LeftToRight), "car means RAC.");
    assert_eq!(seen("car MEANS CAR.", Direction::RightToLeft), ".RAC SNAEM car");
}

/// Numbers keep their order within words from the right (rule W2 and L2).
#[test]
fn numbers_run_from_the_left() {
    assert_eq!(seen("CAR 12 ROAD", Direction::RightToLeft), "DAOR 12 RAC");
}

/// Rules P2 and P3: the first letter with a direction gives that of the text.
#[test]
fn the_first_letter_gives_the_direction() {
    for (text, expected) in [
        ("car", Direction::LeftToRight),
        ("3 – CAR", Direction::RightToLeft),
        ("car CAR", Direction::LeftToRight),
        ("CAR car", Direction::RightToLeft),
        ("", Direction::LeftToRight),
    ] {
        assert_eq!(Direction::of(&stored(text)), expected, "{text}");
    }
}
