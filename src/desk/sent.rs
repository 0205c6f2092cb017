//! What a form or an address sends: names with values, a name more than once where several are ticked.

use axum::{Form, extract::Query};
use form_urlencoded::{Serializer, parse};

/// Values by their names, in the order in which they came.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Sent(Vec<(String, String)>);

/// As axum reads them.
pub(super) type SentForm = Form<Vec<(String, String)>>;
pub(super) type SentQuery = Query<Vec<(String, String)>>;

impl From<Vec<(String, String)>> for Sent {
    fn from(sent: Vec<(String, String)>) -> Self {
        Self(sent)
    }
}

impl Sent {
    /// What [`Self::query`] wrote.
    pub(super) fn parse(query: &str) -> Self {
        Self(parse(query.as_bytes()).into_owned().collect())
    }

    /// The first value of this name without white space around it; nothing is an empty one.
    pub(super) fn one(&self, name: &str) -> &str {
        self.given(name).unwrap_or_default()
    }

    /// The same, where it matters whether it was sent.
    pub(super) fn given(&self, name: &str) -> Option<&str> {
        self.0.iter().find(|(known, _)| known == name).map(|(_, value)| value.trim())
    }

    /// All values of this name.
    pub(super) fn all(&self, name: &str) -> Vec<String> {
        self.0.iter().filter(|(known, _)| known == name).map(|(_, value)| value.clone()).collect()
    }

    /// The same with another value of this name, or without one.
    pub(super) fn with(&self, name: &str, value: Option<&str>) -> Self {
        let mut all: Vec<_> = self.0.iter().filter(|(known, _)| known != name).cloned().collect();
        all.extend(value.map(|value| (name.to_owned(), value.to_owned())));
        Self(all)
    }

    /// Only those of these names that say something.
    pub(super) fn only(&self, names: &[&str]) -> Self {
        self.those(|name, value| names.contains(&name) && !value.trim().is_empty())
    }

    /// Only those that `is_kept` takes.
    pub(super) fn those(&self, is_kept: impl Fn(&str, &str) -> bool) -> Self {
        Self(self.0.iter().filter(|(name, value)| is_kept(name, value)).cloned().collect())
    }

    /// As an address has it behind its question mark.
    pub(super) fn query(&self) -> String {
        Serializer::new(String::new()).extend_pairs(&self.0).finish()
    }

    /// An address with it.
    pub(super) fn address(&self, path: &str) -> String {
        if self.0.is_empty() { path.to_owned() } else { format!("{path}?{}", self.query()) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_sent_goes_round() {
        let sent = Sent::parse("q=caf%C3%A9+%26&item=%2312&item=%2313&bin=");
        assert_eq!(sent.one("q"), "café &");
        assert_eq!(sent.all("item"), ["#12", "#13"]);
        assert_eq!((sent.given("bin"), sent.given("page")), (Some(""), None));
        assert_eq!(Sent::parse(&sent.query()), sent);
        assert_eq!(sent.only(&["q", "bin"]).address("/items"), "/items?q=caf%C3%A9+%26");
        assert_eq!(sent.only(&[]).with("page", Some("2")).address("/items"), "/items?page=2");
    }
}
