//! Glyphs and their places against `HarfBuzz`, the reference shaper.

use harfrust::{Buffer, Direction, Font, ShapeOptions, ShaperFont, shape};
use stowmark::font::{FACES, FaceId, Fonts};

use super::{fonts, glyphs, shaped};

/// [C] `hb-shape --no-glyph-names --no-clusters FACE TEXT` of `HarfBuzz` 6.0.0: glyph+advance.
const LATIN: [(FaceId, &str, &str); 6] = [
    (
        FaceId::Regular,
        "AVATAR To, Wave",
        "1+586|96+553|1+576|83+508|1+626|74+614|231+260|83+478|175+538|235+210|231+260|97+852|112+518|209+453|133+538",
    ),
    (
        FaceId::Bold,
        "AVATAR To, Wave",
        "1+630|96+596|1+612|83+541|1+678|74+650|231+292|83+527|175+566|235+271|231+292|97+880|112+534|209+512|133+563",
    ),
    (
        FaceId::Light,
        "AVATAR To, Wave",
        "1+565|96+540|1+558|83+494|1+602|74+597|231+249|83+458|175+527|235+188|231+249|97+854|112+510|209+431|133+529",
    ),
    (
        FaceId::Bold,
        "Typ 4A-017R «Yoga» W. T.",
        "83+579|216+521|184+596|231+312|369+624|1+660|251+393|365+659|366+440|372+537|74+650|231+312|267+585|103+574|\
         175+576|143+593|112+552|268+649|231+292|97+856|234+272|231+292|83+529|234+272",
    ),
    (
        FaceId::Regular,
        "Würfel, Öl & Ÿ",
        "97+846|203+540|187+379|142+283|133+538|164+272|235+210|231+280|65+714|164+262|231+280|276+731|231+250|106+575",
    ),
    (
        FaceId::Light,
        "Würfel, Öl & Ÿ",
        "97+848|203+532|187+366|142+265|133+529|164+256|235+188|231+269|65+697|164+246|231+269|276+732|231+239|106+548",
    ),
];

#[test]
fn latin_is_kerned_as_by_the_reference() {
    for (weight, text, expected) in LATIN {
        let glyphs = glyphs(&shaped(&Fonts::default(), weight, text));
        let found: Vec<String> = glyphs.iter().map(|glyph| format!("{}+{}", glyph.id, glyph.advance)).collect();
        assert_eq!(found.join("|"), expected, "{weight:?} {text}");
    }
}

/// [C] `hb-shape --no-glyph-names`: glyph=cluster@right,up+advance. Arabic letters are joined, its
/// marks and those of Hebrew stand in their places, and both run from the right.
const OTHERS: [(&str, &str); 5] = [
    ("ГУ", "426=0@0,0+524|442=2@0,0+624"),
    ("καφέ", "388=0@0,0+514|379=2@0,0+615|400=4@0,0+725|375=6@0,0+483"),
    ("ệx\u{323}\u{301}", "777=0@0,0+544|89=3@0,0+529|1643=3@34,0+0|1612=3@6,0+0"),
    ("נחושת", "23=8@0,0+685|21=6@0,0+730|26=4@0,0+301|12=2@0,0+662|16=0@0,0+379"),
    ("شاي", "171=4@0,0+760|3=2@0,0+291|149=0@0,0+784"),
];

/// The short way for Latin gives what the shaper gives for whole texts of whatever letters.
#[test]
fn the_short_way_is_the_way_of_the_shaper() {
    let letters: Vec<char> =
        (' '..='ſ').filter(|letter| Fonts::main(FaceId::Regular).glyph(*letter).is_some()).collect();
    assert!(letters.len() > 250, "{}", letters.len());
    let mut state = 12345_usize;
    let mut letter = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        letters[(state >> 33) % letters.len()]
    };
    for weight in FACES {
        let font = Font::new(Fonts::main(weight).bytes().to_vec(), 0).unwrap();
        for _ in 0..700 {
            let text: String = (0..24).map(|_| letter()).collect();
            let mut buffer = Buffer::new();
            buffer.push_str(&text);
            buffer.set_direction(Direction::LeftToRight);
            buffer.guess_segment_properties();
            shape(&ShaperFont::new(&font), &mut buffer, ShapeOptions::new()).unwrap();
            let places = buffer.glyph_infos().iter().zip(buffer.glyph_positions());
            let expected: Vec<(u32, i32)> = places.map(|(info, place)| (info.glyph_id, place.x_advance)).collect();
            let found = glyphs(&shaped(&Fonts::default(), weight, &text));
            let found: Vec<(u32, i32)> = found.iter().map(|glyph| (u32::from(glyph.id), glyph.advance)).collect();
            assert_eq!(found, expected, "{weight:?} {text}");
        }
    }
}

#[test]
fn other_scripts_are_shaped_as_by_the_reference() {
    let fonts = fonts(&["hebrew.ttf", "arabic.ttf"]);
    for (text, expected) in OTHERS {
        let glyphs = glyphs(&shaped(&fonts, FaceId::Regular, text));
        let found: Vec<String> =
            glyphs.iter().map(|it| format!("{}={}@{},{}+{}", it.id, it.cluster, it.right, it.up, it.advance)).collect();
        assert_eq!(found.join("|"), expected, "{text}");
    }
}
