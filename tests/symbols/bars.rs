//! Code 128 down to the bars: published patterns, sums and check characters (ISO/IEC 15417:2007).

use stowmark::symbol::{CodeSet, Linear, Symbol, encode_segments};

/// [S] and two libraries that agree [C].
const START_A: &str = "11010000100";
const START_B: &str = "11010010000";
const START_C: &str = "11010011100";
const STOP: &str = "1100011101011";
/// [S] figure 1 of the standard, by way of another encoder's test file; its bars [C].
const LETTER_A: &str = "10100011000";
const LETTER_I: &str = "11000100010";
const LETTER_M: &str = "10111011000";
/// The check character 45, the bars of which are those of M, 45 in set B.
const CHECK_45: &str = LETTER_M;

/// A part of a text and the code set that it is in.
type Segment = (CodeSet, &'static str);

/// Modules of a symbol character.
const WIDTH: usize = 11;

fn bits(linear: &Linear) -> String {
    linear.modules().iter().map(|dark| if *dark { '1' } else { '0' }).collect()
}

fn encoded(segments: &[(CodeSet, &str)]) -> String {
    bits(&encode_segments(segments).unwrap())
}

#[test]
fn aim_is_the_figure_of_the_standard() {
    let expected = [START_B, LETTER_A, LETTER_I, LETTER_M, CHECK_45, STOP].concat();
    assert_eq!(encoded(&[(CodeSet::B, "AIM")]), expected);
    let Symbol::Linear(chosen) = Symbol::code128("AIM").unwrap() else { panic!("no bars") };
    assert_eq!(bits(&chosen), expected);
}

#[test]
fn each_set_has_its_start_and_all_have_one_stop() {
    for (set, text, start) in [(CodeSet::A, "A", START_A), (CodeSet::B, "A", START_B), (CodeSet::C, "42", START_C)] {
        let symbol = encoded(&[(set, text)]);
        assert!(symbol.starts_with(start) && symbol.ends_with(STOP), "{set:?} {symbol}");
    }
}

/// The value of each symbol character before the stop. A pair of digits in set C has its own number for
/// its value, which gives the bars of 0 to 99; the starts are 103 to 105.
fn values(symbol: &str) -> Vec<u32> {
    let pairs: Vec<String> =
        (0..100).map(|pair| encoded(&[(CodeSet::C, &format!("{pair:02}"))])[WIDTH..2 * WIDTH].to_owned()).collect();
    let starts = [START_A, START_B, START_C].map(str::to_owned);
    let known: Vec<(String, u32)> = pairs.into_iter().zip(0..).chain(starts.into_iter().zip(103..)).collect();
    let value = |bars: &str| known.iter().find(|(pattern, _)| pattern == bars).map(|(_, value)| *value);
    let body = &symbol[..symbol.len() - STOP.len()];
    (0..body.len() / WIDTH).map(|at| value(&body[at * WIDTH..(at + 1) * WIDTH]).unwrap()).collect()
}

/// The start counts once, each character after it as often as its place says.
fn weighted_sum(values: &[u32]) -> u32 {
    values[0] + values[1..].iter().zip(1..).map(|(value, place)| value * place).sum::<u32>()
}

#[test]
fn published_sums_and_checks_come_out_of_the_bars() {
    use CodeSet::{A, B, C};
    let cases: [(&[Segment], u32, u32); 7] = [
        (&[(B, "AIM")], 354, 45),                // [S]
        (&[(A, "PJJ123C")], 878, 54),            // [S]
        (&[(B, "PJJ123C")], 879, 55),            // [C]
        (&[(A, "HI"), (C, "345678")], 1406, 67), // [S]
        (&[(A, "ABCDEF")], 866, 42),             // [S]
        (&[(B, "abcdef")], 1539, 97),            // [S]
        (&[(C, "345678")], 485, 73),             // [S]
    ];
    for (segments, sum, check) in cases {
        let values = values(&encoded(segments));
        let (last, before) = values.split_last().unwrap();
        assert_eq!((weighted_sum(before), *last), (sum, check), "{segments:?}");
        assert_eq!(sum % 103, check, "{segments:?}");
    }
}

/// [S] width = 11 (n + 2) + 13 modules for n symbol characters of data, changes of set among them;
/// ten modules of quiet zone on each side.
#[test]
fn widths_follow_the_symbol_characters() {
    // Six characters of a tag, five of a sign, pairs of digits, a change of set.
    let cases = [("4C017R", 6), ("4C00V", 5), ("345678", 3), ("HI345678", 6), ("12AB1234R", 9)];
    for (text, characters) in cases {
        let symbol = Symbol::code128(text).unwrap();
        assert_eq!(symbol.modules(), 11 * (characters + 2) + 13, "{text}");
        assert_eq!((symbol.quiet_modules(), symbol.modules_with_quiet()), (10, symbol.modules() + 20), "{text}");
    }
}

/// Three bars and three spaces a character: even sums of bars (standard's parity) [M].
#[test]
fn every_character_has_three_bars_with_an_even_sum() {
    let symbol = encoded(&[(CodeSet::C, "0123456789"), (CodeSet::B, "Cake tin"), (CodeSet::A, "LID")]);
    let body = &symbol[..symbol.len() - STOP.len()];
    assert_eq!(body.len() % WIDTH, 0);
    for character in (0..body.len()).step_by(WIDTH).map(|at| &body[at..at + WIDTH]) {
        let bars: Vec<&str> = character.split('0').filter(|bar| !bar.is_empty()).collect();
        assert_eq!((bars.len(), bars.concat().len() % 2), (3, 0), "{character}");
    }
}
