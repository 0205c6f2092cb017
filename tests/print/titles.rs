//! Awkward titles and area names on every sheet: nothing runs over, nothing is lost without a word.

use std::sync::LazyLock;

use stowmark::{
    label::{Drawn, LabelWarning},
    sheet::{Sheet, sheets},
};

use super::{
    checks,
    ink::{self, Outlines},
    samples::{DESIGNS, Design, Label, RESOLUTIONS, dpi},
    specimen::print,
    sweep::{Outcome, in_parallel},
};

/// A title or the name of an area, and those of its characters that no bundled face has.
struct Words {
    text: &'static str,
    missing: &'static str,
}

const WORDS: [Words; 11] = [
    Words { text: "", missing: "" },
    Words { text: " ", missing: "" },
    Words { text: "x", missing: "" },
    Words { text: "Jug", missing: "" },
    Words { text: "gypsy jigs, (yolk) gjpqy; QJ", missing: "" },
    Words { text: "ÀÉÎÕÜŠŽÅ ĄĘĮŲ ÇŞ ýžřňďťůčěš ğıİőű", missing: "" },
    // One word of sixty characters.
    Words { text: "Emailleschmortopfdeckelknaufbefestigungsschraubensammelkiste", missing: "" },
    Words {
        text: "Wooden board game about lighthouses, second edition, complete with all 48 tiles, four keepers and the \
               scoring pad, box corners taped, rules in three languages, a spare die from another game",
        missing: "",
    },
    Words { text: "🫖 Teapot with 🍵 cup 🫖", missing: "🫖🍵" },
    Words { text: "чайник, μπρίκι", missing: "" },
    Words { text: "茶壺 with lid, Ấm trà", missing: "茶壺" },
];

/// Each design with each of the words; the numbers give signs no spot.
fn labels(sheet: &Sheet, dots: f64) -> Vec<(&'static Words, Label)> {
    let stock = sheet.stock(dpi(dots));
    let all = WORDS.iter().flat_map(|words| DESIGNS.map(|design| (words, design)));
    let label = |(words, design): (&'static Words, Design), number: u32| {
        (words, Label::new(design, words.text, 3 * number + 1, &stock).unwrap())
    };
    all.zip(0..).map(|(each, number)| label(each, number)).collect()
}

/// Every sheet with all words, printed once at 300 dpi.
static OUTCOME: LazyLock<Outcome> = LazyLock::new(|| {
    let work: Vec<&'static Sheet> = sheets().iter().collect();
    in_parallel(&work, |sheet, outcome| print_words(sheet, outcome))
});

fn print_words(sheet: &'static Sheet, outcome: &mut Outcome) {
    let dpi = dpi(300.0);
    let labels: Vec<Label> = labels(sheet, 300.0).into_iter().map(|(_, label)| label).collect();
    print(
        sheet,
        &labels,
        dpi,
        |_| true,
        |page, specimens| {
            outcome.note("page", &sheet.name, checks::page_fault(page, sheet, dpi));
            for specimen in &specimens {
                outcome.note("clear edges", &specimen.name, checks::has_clear_edges(specimen));
                outcome.note("exact modules", &specimen.name, checks::has_exact_modules(specimen));
            }
        },
    );
}

#[test]
fn no_text_comes_near_an_edge() {
    OUTCOME.assert_no_fault("clear edges");
}

#[test]
fn no_text_runs_into_a_symbol() {
    OUTCOME.assert_no_fault("exact modules");
}

#[test]
fn no_text_runs_out_of_its_label() {
    OUTCOME.assert_no_fault("page");
}

/// By the outlines of the glyphs, at every resolution: edges, quiet zones, and lines on each other.
#[test]
fn texts_keep_to_their_places_by_their_outlines() {
    let outlines = Outlines::new();
    let places = RESOLUTIONS.into_iter().flat_map(|dots| sheets().iter().map(move |sheet| (dots, sheet)));
    let mut faults = Vec::new();
    for (dots, sheet) in places {
        for (words, label) in labels(sheet, dots) {
            let fault = ink::fault(&label.drawn.drawing, dpi(dots), &outlines);
            let what = if label.design.is_sign { "sign" } else { "tag" };
            let name = format!("{} {what} {} at {dots} dpi, `{}`", sheet.name, label.design.kind, words.text);
            faults.extend(fault.map(|fault| format!("{name}: {fault}")));
        }
    }
    assert!(faults.is_empty(), "{} faults, such as\n{}", faults.len(), faults[..faults.len().min(20)].join("\n"));
}

#[test]
fn missing_characters_are_named_and_nothing_else_is() {
    for sheet in sheets() {
        for (words, label) in labels(sheet, 300.0) {
            let named = |warning: &LabelWarning| match warning {
                LabelWarning::MissingCharacters { characters, .. } => Some(characters.clone()),
                _ => None,
            };
            let named: String = label.drawn.warnings.iter().filter_map(named).collect();
            assert_eq!(named.replace(' ', ""), words.missing, "{} `{}`", sheet.name, words.text);
        }
    }
}

/// A text stands on its label as a whole, or there is a warning and an ellipsis.
#[test]
fn nothing_is_lost_without_a_word() {
    for sheet in sheets() {
        for (words, label) in labels(sheet, 300.0) {
            let (drawn, whole) = (drawn_words(&label), without(words.text, words.missing));
            let name = format!("{} {:?} `{}` as `{drawn}`", sheet.name, label.design, words.text);
            if is_shortened(&label.drawn) {
                let kept = drawn.strip_suffix('…').unwrap_or_else(|| panic!("{name} has no ellipsis"));
                // What was left off may be nothing but letters that show as boxes.
                let is_less = kept.len() < whole.len() || !words.missing.is_empty();
                assert!(whole.starts_with(kept) && is_less, "{name}");
            } else {
                assert_eq!(drawn, whole, "{name}");
            }
        }
    }
}

fn is_shortened(drawn: &Drawn) -> bool {
    drawn.warnings.iter().any(|warning| matches!(warning, LabelWarning::Shortened(_)))
}

/// The words on a label without its code, which comes first, and without spaces.
fn drawn_words(label: &Label) -> String {
    let of_code = if label.design.is_sign { 1 } else { 3 };
    let texts = label.drawn.drawing.texts().skip(of_code).map(|run| run.text.as_str());
    without(&texts.collect::<String>(), "")
}

fn without(text: &str, missing: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && !missing.contains(*c)).collect()
}
