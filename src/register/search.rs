//! Items by words of their titles.

use rusqlite::params;

use super::{Item, Register, RegisterError, Title, item::item_query, title::spelt_out};

/// Words to look for: each must begin a word of the title; accents and capitals don't matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Words(String);

impl Words {
    /// The words of a text; `None` when it has none.
    #[must_use]
    pub fn new(text: &str) -> Option<Self> {
        let text = spelt_out(text);
        let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
        let query: Vec<String> = words.map(|word| format!("\"{word}\"*")).collect();
        (!query.is_empty()).then(|| Self(query.join(" ")))
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
        let mut query = self.connection.prepare_cached(sql)?;
        let items = query.query_map(params![words.0, i64::try_from(limit).unwrap_or(i64::MAX)], Item::from_row)?;
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
}

/// Of a title that so many items have nobody can tell which one is meant.
const MOST_ALIKE: usize = 1000;
