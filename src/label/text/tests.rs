//! Texts of many scripts in columns of many widths.

use unicode_segmentation::UnicodeSegmentation;

use super::{setter::ELLIPSIS, *};
use crate::{label::Mark, unit::Point};

const SIZES: fn() -> Sizes = || Sizes::pt(9.0, 6.5);

fn block(text: &str, width: f64, lines: usize) -> Block {
    fit(&Fonts::default(), text, FaceId::Regular, Size::new(width, 10.0), SIZES(), lines)
}

fn lines(block: &Block) -> Vec<&str> {
    block.lines.iter().map(|line| line.text.as_str()).collect()
}

#[test]
fn a_short_title_is_set_in_the_largest_size() {
    let block = block("Copper jam pan", 40.0, 2);
    assert_eq!((block.lines.len(), block.shortened), (1, false));
    assert!((block.em.0 - SIZES().largest.0).abs() < 1e-9);
}

#[test]
fn a_long_title_shrinks_then_breaks_off_at_a_word() {
    let block = block("Enamel casserole with lid, cream and green, four litres, small chip", 25.0, 2);
    assert!(block.shortened);
    assert_eq!(block.lines.len(), 2);
    assert!(lines(&block)[1].ends_with('…') && !lines(&block)[1].ends_with(" …"), "{:?}", lines(&block));
}

#[test]
fn words_are_broken_after_hyphens_and_cut_only_in_the_smallest_size() {
    assert_eq!(lines(&block("Raclette-Pfännchen", 18.0, 3)), ["Raclette-", "Pfännchen"]);
    let cut = block("Sonderausgabenverzeichnis", 18.0, 3);
    assert!((cut.em.0 - SIZES().smallest.0).abs() < 0.1 && cut.lines.len() == 2, "{:?}", lines(&cut));
}

/// [S] UAX #14: ideographs may part anywhere but before a full stop, numbers stay whole.
#[test]
fn lines_break_where_the_script_lets_them() {
    assert_eq!(breaks("茶壺。有蓋").len(), 4);
    let text = "jug 3-17, 1.5 l";
    let pieces: Vec<&str> = breaks(text).into_iter().map(|range| &text[range]).collect();
    assert_eq!(pieces, ["jug", "3-17,", "1.5", "l"]);
}

const NASTY: [&str; 17] = [
    "",
    " ",
    "x",
    "jjj ȷ ƒƒ QQ",
    "Emailleschmortopfdeckelknaufbefestigungsschraubensammelkiste",
    "Μπρίκι του καφέ από μπρούντζο, με ξύλινη λαβή",
    "Чайник эмалированный с крышкой, три литра",
    "茶壺有蓋、急須、湯呑み五客、桐箱入り",
    "🫖🫖🫖 👩\u{200D}🍳👩\u{200D}🍳 ❤\u{FE0F}",
    "קומקום נחושת, 3 ליטר",
    "إبريق شاي نحاسي قديم",
    "e\u{301}\u{302}\u{303}\u{304}e\u{301}\u{302}\u{303}\u{304} Z\u{351}\u{36B}\u{343}a\u{35B}l\u{348}g\u{32C}o\u{321}",
    "Ấm trà Bát Tràng, đĩa sứ, ỄỆỔ",
    "a b c d e f g",
    "\u{202E}turned\u{202C} \u{200B}\u{FEFF}",
    "one\ttwo\n\nthree   four",
    "-–-/-/",
];

/// Ends of the pen and of the ink of each mark, as they lie on the label.
fn reach(marks: &[Mark]) -> (f64, f64) {
    let of = |mark: &Mark| match mark {
        Mark::Text(run) => {
            let unit = |units: i32| run.face.in_em(units) * run.em.0;
            let (mut pen, mut ends) = (0, (run.left.0, run.left.0));
            for glyph in &run.glyphs {
                let ink = run.face.glyph_by_id(glyph.id).and_then(|glyph| glyph.ink);
                let at = run.left.0 + unit(pen + i32::from(glyph.right));
                pen += glyph.advance;
                let ink = ink.map_or((at, at), |ink| (at + unit(ink.left.into()), at + unit(ink.right.into())));
                ends = (ends.0.min(ink.0), ends.1.max(ink.1).max(run.left.0 + unit(pen)));
            }
            ends
        }
        Mark::Rect { at, size } => (at.x.0, at.x.0 + size.width.0),
        Mark::Symbol(_) => (0.0, 0.0),
    };
    marks.iter().map(of).fold((0.0, 0.0), |all, ends| (f64::min(all.0, ends.0), f64::max(all.1, ends.1)))
}

#[test]
fn every_line_is_within_the_column_whatever_the_text() {
    let long = "Strickmuster für Zopfpullover, ".repeat(10);
    for text in NASTY.into_iter().chain([long.as_str(), &"w".repeat(300)]) {
        for width in [1.0, 3.0, 8.0, 18.0, 36.0] {
            for most in [1, 3] {
                let block = block(text, width, most);
                let (left, right) = reach(&block.marks(Point::default()));
                assert!(left >= -1e-6 && right <= width + 1e-6, "{text} from {left} to {right} of {width}");
                assert!(block.height().0 <= 10.0 && block.lines.len() <= most, "{text}");
            }
        }
    }
}

/// Breaking, cutting and shortening leave every letter with what belongs to it [S, UAX #29].
#[test]
fn letters_are_never_cut_in_two() {
    for text in NASTY {
        let text = single_spaced(text);
        let letters: Vec<&str> = text.graphemes(true).collect();
        for width in [3.0, 8.0, 18.0] {
            for line in lines(&block(&text, width, 2)) {
                let line = line.trim_end_matches(ELLIPSIS);
                let is_whole = |letter: &&str| letters.contains(letter);
                assert!(line.graphemes(true).all(|letter| is_whole(&letter)), "`{line}` of `{text}`");
            }
        }
    }
}

/// In this order: broken at words, set smaller, words cut, shortened.
#[test]
fn a_text_gives_way_in_a_fixed_order() {
    let text = "Copper jam pan with two handles";
    let at = |width: f64| block(text, width, 2);
    let (wide, narrow, least) = (at(50.0), at(22.0), at(12.0));
    assert_eq!((wide.lines.len(), wide.shortened), (1, false));
    assert!(narrow.lines.len() == 2 && !narrow.shortened && narrow.em.0 < wide.em.0, "{narrow:?}");
    assert!(least.shortened && least.em.0 <= SIZES().smallest.0 + 1e-9, "{least:?}");
}

#[test]
fn missing_characters_become_boxes_and_are_named() {
    let fonts = Fonts::default();
    let marks = text_marks(&fonts, FaceId::Regular, Mm(3.0), Point::default(), "a🫖b");
    assert_eq!(marks.iter().filter(|mark| matches!(mark, Mark::Rect { .. })).count(), 4);
    assert_eq!(marks.iter().filter(|mark| matches!(mark, Mark::Text(_))).count(), 2);
    assert_eq!(missing(&fonts, "a🫖b🫖茶", FaceId::Regular), "🫖 茶");
    let joined = text_marks(&fonts, FaceId::Regular, Mm(3.0), Point::default(), "👩\u{200D}🍳");
    assert_eq!(joined.len(), 4, "one box for one joined emoji");
}
