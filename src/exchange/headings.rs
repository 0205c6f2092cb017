//! The first line of a file, and which fields of a row stand under it.
//!
//! Start with [`Headings::new`]. What the columns mean is told elsewhere.

/// The heading of the last column of refused rows, which says why; ignored when it comes back.
pub(super) const REFUSED_BECAUSE: &str = "refused because";
/// Stands in the reason of every row with too few or too many fields, and tells such a reason from data.
pub(super) const HEADINGS_HAVE: &str = ", the headings have ";

/// The headings of a file.
#[derive(Debug, Clone)]
pub(super) struct Headings {
    /// What parts the fields.
    pub(super) delimiter: u8,
    /// All headings but a last one of [`REFUSED_BECAUSE`].
    pub(super) names: Vec<String>,
    /// Whether [`REFUSED_BECAUSE`] was the last heading.
    has_reasons: bool,
}

impl Headings {
    /// The headings in these fields.
    pub(super) fn new(fields: &[String], delimiter: u8) -> Self {
        let mut names: Vec<String> = fields.iter().map(|field| tidy(field)).collect();
        drop_blank_end(&mut names, 0);
        let has_reasons = names.pop_if(|heading| heading.eq_ignore_ascii_case(REFUSED_BECAUSE)).is_some();
        Self { delimiter, names, has_reasons }
    }

    /// The fields without blank ones that a spreadsheet put behind them, and without an earlier reason.
    ///
    /// A reason in another column than its own shows that the row still has too few or too many fields, even if a
    /// spreadsheet has filled it up since.
    pub(super) fn own_fields(&self, mut fields: Vec<String>) -> Vec<String> {
        let own = self.names.len();
        drop_blank_end(&mut fields, own + usize::from(self.has_reasons));
        if self.has_reasons {
            match fields.iter().position(|field| field.contains(HEADINGS_HAVE)) {
                Some(at) if at != own => fields.truncate(at),
                _ if fields.len() == own + 1 && is_reason(&fields[own]) => fields.truncate(own),
                _ => {}
            }
        }
        fields
    }
}

/// What is left under the heading of reasons: nothing, or a reason as this program writes it. Anything else is a
/// field too many.
fn is_reason(field: &str) -> bool {
    field.trim().is_empty() || field.contains(": ") || field.contains(HEADINGS_HAVE)
}

/// Headings are sometimes broken over two lines in their cell.
pub(super) fn tidy(heading: &str) -> String {
    heading.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn drop_blank_end(fields: &mut Vec<String>, keep: usize) {
    while fields.len() > keep && fields.last().is_some_and(|field| field.trim().is_empty()) {
        fields.pop();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn strings(fields: &[&str]) -> Vec<String> {
        fields.iter().map(ToString::to_string).collect()
    }

    fn headings(names: &[&str]) -> Headings {
        Headings::new(&strings(names), b',')
    }

    #[test]
    fn what_stands_under_the_reasons_is_dropped_only_if_it_is_one() {
        let headings = headings(&["title", "cost", "refused because"]);
        let cases: [(&[&str], usize); 4] = [
            (&["Pan", "3.50", ""], 2),
            (&["Pan", "3.50", "cost: `3,5,0` is no amount"], 2),
            (&["Pan", "3", "50", ""], 3),
            (&["Pan", "3", "50"], 3),
        ];
        for (fields, own) in cases {
            assert_eq!(headings.own_fields(strings(fields)).len(), own, "{fields:?}");
        }
    }

    #[test]
    fn fields_behind_the_headings_count_only_with_text() {
        let headings = headings(&["title", "cost"]);
        let own = |fields: &[&str]| headings.own_fields(strings(fields)).len();
        assert_eq!(own(&["Pan", "3", "", " "]), 2);
        assert_eq!(own(&["Pan", "", "", ""]), 2);
        assert_eq!(own(&["Pan", "3", "", "x"]), 4);
        assert_eq!(own(&["Pan"]), 1);
    }

    #[test]
    fn an_earlier_reason_is_no_field() {
        let headings = headings(&["title", "cost", "Refused Because", ""]);
        assert_eq!(headings.names, ["title", "cost"]);
        let own = |fields: &[&str]| headings.own_fields(strings(fields));
        let few = "has 1 field, the headings have 2";
        assert_eq!(own(&["Pan", "3", "cost: `x` is no amount"]), ["Pan", "3"]);
        assert_eq!(own(&["Pan", "3", few]), ["Pan", "3"]);
        assert_eq!(own(&["Pan", few]), ["Pan"]);
        assert_eq!(own(&["Pan", few, ""]), ["Pan"]);
        assert_eq!(own(&["Pan", "3", "50", few]), ["Pan", "3", "50"]);
        assert_eq!(own(&["Pan", "3"]), ["Pan", "3"]);
    }
}
