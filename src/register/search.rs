//! Items by words of their titles.

use rusqlite::{OptionalExtension, params};

use super::{Item, Register, RegisterError, Title, item::item_query, title::spelt_out};

/// Words to look for: each must begin a word of the title; accents and capitals don't matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words(Vec<String>);

/// Beginnings of up to so many letters have an index of their own.
const INDEXED: usize = 3;
/// Longer ones stand for this many words at most, before they are looked for as beginnings.
const MOST_TERMS: usize = 24;

impl Words {
    /// The words of a text; `None` when it has none.
    #[must_use]
    pub fn new(text: &str) -> Option<Self> {
        let text = spelt_out(text);
        let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
        let words: Vec<String> = words.map(str::to_ascii_lowercase).collect();
        (!words.is_empty()).then_some(Self(words))
    }
}

impl Register {
    /// Items whose titles have all the words, the newest first, at most so many.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn search(&self, words: &Words, limit: usize) -> Result<Vec<Item>, RegisterError> {
        let sql = item_query!(
            "WHERE item.id IN (SELECT rowid FROM item_words WHERE item_words MATCH ?1 ORDER BY rowid DESC LIMIT ?2)
             ORDER BY item.id DESC"
        );
        let asked = self.all_of(words)?;
        let mut query = self.connection.prepare_cached(sql)?;
        let items = query.query_map(params![asked, i64::try_from(limit).unwrap_or(i64::MAX)], Item::from_row)?;
        Ok(items.collect::<Result<_, _>>()?)
    }

    /// Items whose titles have all the words of a title, the first one entered first.
    ///
    /// # Errors
    /// [`RegisterError`] when the file can't be read.
    pub fn items_titled_like(&self, title: &Title) -> Result<Vec<Item>, RegisterError> {
        let Some(words) = Words::new(title.as_str()) else { return Ok(Vec::new()) };
        let mut items = self.search(&words, MOST_ALIKE)?;
        items.reverse();
        Ok(items)
    }

    /// All words as the index is asked for them.
    pub(super) fn all_of(&self, words: &Words) -> Result<String, RegisterError> {
        Ok(words.0.iter().map(|word| self.asked(word)).collect::<Result<Vec<_>, _>>()?.join(" AND "))
    }

    /// A word as the index is asked for it. For a beginning that it has no list of, `SQLite` would collect all items
    /// before the first answer; lists of whole words are walked only as far as the answer goes.
    fn asked(&self, word: &str) -> Result<String, RegisterError> {
        let terms = if word.is_ascii() && word.len() > INDEXED { self.terms(word)? } else { Vec::new() };
        if terms.is_empty() || terms.len() > MOST_TERMS {
            return Ok(format!("\"{word}\"*"));
        }
        let terms: Vec<String> = terms.iter().map(|term| format!("\"{term}\"")).collect();
        Ok(format!("({})", terms.join(" OR ")))
    }

    /// The words of titles that begin so, up to one more than the most.
    fn terms(&self, beginning: &str) -> Result<Vec<String>, RegisterError> {
        let mut query = self.connection.prepare_cached("SELECT term FROM item_terms WHERE term >= ?1 LIMIT 1")?;
        let mut terms: Vec<String> = Vec::new();
        let mut from = beginning.to_owned();
        while terms.len() <= MOST_TERMS {
            let next: Option<String> = query.query_row([&from], |row| row.get(0)).optional()?;
            let Some(term) = next.filter(|term| term.starts_with(beginning)) else { break };
            // Each word stands there once for each of its items: the next one is asked for, not walked to.
            from = format!("{term}\u{1}");
            terms.push(term);
        }
        Ok(terms)
    }
}

/// Of a title that so many items have nobody can tell which one is meant.
const MOST_ALIKE: usize = 1000;
