//! Readings typed through another keyboard layout: `'Cà&èR` arrives on a French computer, `4C017R` was meant.
//!
//! A reader presses the keys of a US keyboard and the computer shows what its own layout has on them. Try
//! [`Layout::undo`] of each of [`LAYOUTS`] when a reading makes no sense as it is, and keep those answers that do.
//! Undo before dropping hyphens or changing case: a French `6` arrives as `-`, and `to_uppercase` makes `SS` of `ß`.
//!
//! Covered is what codes, links and reader prefixes hold: digits, letters and `-`, `/`, `:`, `.`, `]`; anything else
//! stays. Not checked is whether the answer is a code, nor which layout the computer has: French and Belgian share most
//! digits. Characters are compared composed, as keyboards send them.

/// A keyboard layout that a reader set up for a US keyboard may meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Layout {
    name: &'static str,
    /// What the keys show, character for character with `meant`; no character twice.
    arrives: &'static str,
    /// What a US keyboard has on the same keys; characters that arrive unchanged are in neither.
    meant: &'static str,
    /// What a US keyboard has on keys that show nothing until the next one: lost, and not undone.
    dead: &'static str,
}

/// The layouts, European and American, that show other characters than a US keyboard.
///
/// Computed from Debian's xkb-data 2.35.1-1 with libxkbcommon 1.5.0 (model `pc105`, default variants, and `ch(fr)`),
/// key by key, unshifted and with Shift. British and Polish change nothing here and are left out; layouts that change
/// the same are one. On each, different characters arrive as different ones.
pub static LAYOUTS: &[Layout] = &[
    layout("German, Austrian", "zyZYß-Ö+", "yzYZ-/:]", ""),
    layout("Swiss German", "zyZY'-é", "yzYZ-/:", "]"),
    layout("Swiss French", "zyZY'-ö", "yzYZ-/:", "]"),
    layout("Czech", "é+ěščřžýáízyZY=-\")", "0123456789yzYZ-/:]", ""),
    layout("Hungarian", "özyZYü-Éú", "0yzYZ-/:]", ""),
    layout("French", "à&é\"'(-è_çq,azwQ?AZW)!M:$", "0123456789amqwzAMQWZ-/:.]", ""),
    layout("Belgian", "à&é\"'(§è!çq,azwQ?AZW)=M:$", "0123456789amqwzAMQWZ-/:.]", ""),
    layout("Spanish", "'-Ñ+", "-/:]", ""),
    layout("Italian", "'-ç+", "-/:]", ""),
    layout("Portuguese", "'-Ç", "-/:", "]"),
    layout("Dutch", "/-±*", "-/:]", ""),
    layout("Swedish, Finnish", "+-Ö", "-/:", "]"),
    layout("Danish", "+-Æ", "-/:", "]"),
    layout("Norwegian", "+-Ø", "-/:", "]"),
    layout("Canadian French", "é", "/", "]"),
    layout("Brazilian", ";Ç[", "/:]", ""),
    layout("Turkish", "ı*.Şçü", "i-/:.]", ""),
];

const fn layout(name: &'static str, arrives: &'static str, meant: &'static str, dead: &'static str) -> Layout {
    Layout { name, arrives, meant, dead }
}

impl Layout {
    /// The name for people, in English: `French`, or `German, Austrian` where layouts agree.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// What the reader sent, if `text` arrived through this layout; as many characters as `text` has.
    ///
    /// Letters keep their case; characters that were digits or marks are known in either case, as Caps Lock inverts
    /// it. `None` when nothing would change, or when `text` holds a character that the layout has elsewhere: a plain
    /// digit is never French, Belgian or Czech, a plain `:` never German.
    #[must_use]
    pub fn undo(&self, text: &str) -> Option<String> {
        let meant: String = text.chars().map(|arrived| self.meant_by(arrived)).collect::<Option<_>>()?;
        (meant != text).then_some(meant)
    }

    /// `None` for a character that no covered key shows.
    fn meant_by(&self, arrived: char) -> Option<char> {
        let exact = self.find(|shown| shown == arrived);
        exact.or_else(|| self.find(|shown| fold(shown) == fold(arrived))).or_else(|| self.unchanged(arrived))
    }

    fn find(&self, is_it: impl Fn(char) -> bool) -> Option<char> {
        self.arrives.chars().zip(self.meant.chars()).find_map(|(shown, meant)| is_it(shown).then_some(meant))
    }

    fn unchanged(&self, arrived: char) -> Option<char> {
        let moved = self.meant.contains(arrived) || self.dead.contains(arrived);
        (!moved).then_some(arrived)
    }
}

/// The lower case of a character where that is a single one.
fn fold(c: char) -> char {
    let mut lower = c.to_lowercase();
    lower.next().filter(|_| lower.next().is_none()).unwrap_or(c)
}

/// Expected characters are from Debian's xkb-data 2.35.1-1.
#[cfg(test)]
mod tests {
    use super::*;

    const SENT: [&str; 5] = ["4C017R", "12AB1234R", "7F240F", "HTTP://HOST:8080/S/4C017R", "]C04C017R"];

    fn named(name: &str) -> &'static Layout {
        LAYOUTS.iter().find(|layout| layout.name().split(", ").any(|part| part == name)).unwrap()
    }

    fn undo(name: &str, text: &str) -> Option<String> {
        named(name).undo(text)
    }

    /// What a computer with `layout` shows; `None` where a dead key swallows something.
    fn arrive(layout: &Layout, sent: &str) -> Option<String> {
        let shown = |c| layout.meant.chars().position(|meant| meant == c).and_then(|at| layout.arrives.chars().nth(at));
        let show = |c| if layout.dead.contains(c) { None } else { Some(shown(c).unwrap_or(c)) };
        sent.chars().map(show).collect()
    }

    fn swap_case(text: &str) -> String {
        let swap = |c: char| if c.is_lowercase() { c.to_uppercase().next() } else { c.to_lowercase().next() };
        text.chars().map(|c| if c == 'ß' { 'ẞ' } else { swap(c).unwrap() }).collect()
    }

    #[test]
    fn the_tables_are_one_to_one() {
        for layout in LAYOUTS {
            assert_eq!(layout.arrives.chars().count(), layout.meant.chars().count(), "{}", layout.name());
            for text in [layout.arrives, layout.meant] {
                let twice = text.char_indices().find(|(at, c)| text[..*at].contains(*c));
                assert_eq!(twice, None, "{}", layout.name());
            }
            let stuck = layout.arrives.chars().zip(layout.meant.chars()).find(|(arrives, meant)| arrives == meant);
            assert_eq!(stuck, None, "{}", layout.name());
        }
    }

    #[test]
    fn digits_arrive_as_the_layouts_have_them() {
        let cases = [
            ("French", "à&é\"'(-è_ç", "0123456789"),
            ("Belgian", "à&é\"'(§è!ç", "0123456789"),
            ("Czech", "é+ěščřžýáí", "0123456789"),
            ("Hungarian", "ö123456789", "0123456789"),
        ];
        for (name, arrived, sent) in cases {
            assert_eq!(undo(name, arrived).as_deref(), Some(sent), "{name}");
        }
    }

    #[test]
    fn letters_that_changed_places_go_back() {
        for name in ["German", "Austrian", "Swiss German", "Swiss French", "Czech", "Hungarian"] {
            assert_eq!(undo(name, "zYab").as_deref(), Some("yZab"), "{name}");
        }
        for name in ["French", "Belgian"] {
            assert_eq!(undo(name, "qAwZ?,").as_deref(), Some("aQzWMm"), "{name}");
        }
        for layout in LAYOUTS {
            assert_eq!(layout.undo("BCDEFGHIJKLNOPRSTUVX"), None, "{}", layout.name());
        }
    }

    #[test]
    fn hyphens_arrive_as_the_layouts_have_them() {
        let cases = [
            ("ß", "German"),
            ("ß", "Austrian"),
            ("'", "Swiss German"),
            ("'", "Spanish"),
            ("'", "Italian"),
            ("'", "Portuguese"),
            ("/", "Dutch"),
            ("+", "Swedish"),
            ("+", "Danish"),
            ("+", "Norwegian"),
            ("+", "Finnish"),
            (")", "French"),
            ("ü", "Hungarian"),
        ];
        for (arrived, name) in cases {
            assert_eq!(undo(name, arrived).as_deref(), Some("-"), "{name}");
        }
    }

    #[test]
    fn what_was_sent_comes_back() {
        for (layout, sent) in LAYOUTS.iter().flat_map(|layout| SENT.map(|sent| (layout, sent))) {
            let Some(arrived) = arrive(layout, sent) else { continue };
            let expected = (arrived != sent).then(|| sent.to_owned());
            assert_eq!(layout.undo(&arrived), expected, "{} `{arrived}`", layout.name());
        }
    }

    #[test]
    fn a_french_reading_is_read() {
        assert_eq!(undo("French", "'Cà&èR").as_deref(), Some("4C017R"));
        assert_eq!(undo("French", "HTTP:").as_deref(), Some("HTTP."));
        assert_eq!(undo("French", "HTTPM!!HOSTMààà!S!'Cà&èR").as_deref(), Some("HTTP://HOST:000/S/4C017R"));
    }

    #[test]
    fn caps_lock_changes_nothing_but_case() {
        for (layout, sent) in LAYOUTS.iter().flat_map(|layout| SENT.map(|sent| (layout, sent))) {
            let Some(arrived) = arrive(layout, sent).filter(|arrived| arrived != sent) else { continue };
            let undone = layout.undo(&swap_case(&arrived)).map(|text| text.to_ascii_uppercase());
            assert_eq!(undone.as_deref(), Some(sent), "{} `{arrived}`", layout.name());
        }
        assert_eq!(undo("Hungarian", "4cÖ17r").as_deref(), Some("4c017r"));
        assert_eq!(undo("Czech", "ČcÉ+Ýr").as_deref(), Some("4c017r"));
        assert_eq!(undo("German", "12ẞab").as_deref(), Some("12-ab"));
    }

    #[test]
    fn plain_digits_are_never_of_a_layout_that_moves_them() {
        for name in ["French", "Belgian", "Czech"] {
            for digit in '0'..='9' {
                assert_eq!(undo(name, &format!("éqz{digit}")), None, "{name}");
            }
        }
        assert_eq!(undo("Hungarian", "z0"), None);
        assert_eq!(undo("Hungarian", "z1").as_deref(), Some("y1"));
    }

    #[test]
    fn plain_marks_are_never_of_a_layout_that_moves_them() {
        for layout in LAYOUTS {
            assert_eq!(layout.undo("HTTP://HOST:8080/S/12AY"), None, "{}", layout.name());
        }
        assert_eq!(undo("Swiss German", "]C012AY"), None);
    }

    #[test]
    fn what_would_not_change_is_none() {
        for layout in LAYOUTS {
            for text in ["", "BCD", " \t", "日本"] {
                assert_eq!(layout.undo(text), None, "{} `{text}`", layout.name());
            }
        }
        assert_eq!(undo("German", "4C017R"), None);
        assert_eq!(undo("German", "4Z017#\r").as_deref(), Some("4Y017#\r"));
    }
}
