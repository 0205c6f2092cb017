//! Text as it is set: glyphs, kerning and directions against another shaper and published examples, and
//! fonts of the user, whole and broken.
//!
//! Sources beside the checks: [S] read in a published source or its reference library, [C] computed
//! outside of the program, [M] from memory. The fonts in `tests/fonts` are Noto Sans Hebrew and Noto
//! Sans Arabic (SIL OFL 1.1, `fonts/OFL-NotoSans.txt`) cut down by fontTools, and two blocks of our own.

mod bidi;
mod files;
mod shaping;

use std::path::PathBuf;

use stowmark::font::{Direction, FaceId, Fonts, Part, PlacedGlyph, Run, Shaped, UserFont};

/// A font file of the tests.
fn file(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "fonts", name].iter().collect()
}

/// The bundled faces with these behind them.
fn fonts(names: &[&str]) -> Fonts {
    let own: Vec<UserFont> = names.iter().map(|name| UserFont::read(&file(name)).unwrap()).collect();
    Fonts::with(&own)
}

fn shaped(fonts: &Fonts, weight: FaceId, text: &str) -> Shaped {
    fonts.shape(weight, text, Direction::of(text))
}

fn runs(shaped: &Shaped) -> Vec<&Run> {
    let run = |part: &'_ Part| matches!(part, Part::Run(_));
    assert!(shaped.parts.iter().all(run), "a letter is missing");
    shaped.parts.iter().filter_map(|part| if let Part::Run(run) = part { Some(run) } else { None }).collect()
}

fn glyphs(shaped: &Shaped) -> Vec<PlacedGlyph> {
    runs(shaped).into_iter().flat_map(|run| run.glyphs.clone()).collect()
}
