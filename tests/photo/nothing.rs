//! Pictures without any symbol: nothing is read in them.

use fastrand::Rng;
use stowmark::{output::Pixels, proof::read_photo, symbol::SymbolKind};

use super::{
    prints::printed,
    scene::{Print, photograph, without_tags},
};

#[test]
fn nothing_is_read_where_there_are_no_tags() {
    assert_eq!(read_photo(&without_tags(1)), Vec::<String>::new());
}

#[test]
fn nothing_is_read_in_words_alone() {
    // The upper part of a tag, above its bars.
    let words = |print: Print| {
        let pixels = print.pixels.cropped(0, 0, print.pixels.width, print.pixels.height * 2 / 5);
        Print { pixels, ..print }
    };
    let tags = printed(SymbolKind::Code128, "cut-a4-45x17", None).placed.into_iter().map(words).collect::<Vec<_>>();
    assert_eq!(read_photo(&photograph(&tags, |random| random.f64() * 360.0, 9)), Vec::<String>::new());
}

#[test]
fn nothing_is_read_in_plain_and_tiny_pictures() {
    for (width, height) in [(0, 0), (1, 1), (39, 4000), (40, 40), (1200, 41), (1200, 900)] {
        for luma in [0, 128, 255] {
            let picture = Pixels { width, height, luma: vec![luma; (width * height) as usize] };
            assert_eq!(read_photo(&picture), Vec::<String>::new(), "{width} x {height} of {luma}");
        }
    }
}

#[test]
fn nothing_is_read_in_noise() {
    for seed in 1..=3 {
        let mut random = Rng::with_seed(seed);
        let (width, height) = (1200, 900);
        let luma = (0..width * height).map(|_| random.u8(..)).collect();
        assert_eq!(read_photo(&Pixels { width, height, luma }), Vec::<String>::new(), "seed {seed}");
    }
}
