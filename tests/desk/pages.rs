//! All pages that one gets to from the bar, and the forms on them.

use std::collections::{BTreeMap, BTreeSet};

use crate::client::{Answer, Client, attribute};

/// No desk of the tests has more pages.
const MOST: usize = 600;

/// A form of a page.
#[derive(Debug, Clone)]
pub struct Form {
    pub action: String,
    pub posts: bool,
    pub takes_files: bool,
    /// Names of its fields with their values.
    pub fields: Vec<(String, String)>,
}

impl Form {
    /// All forms of a page, and what their buttons' own addresses are.
    pub fn all(page: &Answer) -> Vec<Self> {
        let body = page.body();
        body.split("<form").skip(1).flat_map(|part| Self::read(part.split("</form").next().unwrap_or(part))).collect()
    }

    fn read(part: &str) -> Vec<Self> {
        let (head, inner) = part.split_once('>').unwrap_or((part, ""));
        let tags: Vec<&str> = inner.split('<').filter_map(|part| part.split_once('>')).map(|(tag, _)| tag).collect();
        let field = |tag: &&str| Some((attribute(tag, "name")?, attribute(tag, "value").unwrap_or_default()));
        let form = Self {
            action: attribute(head, "action").unwrap_or_default(),
            posts: attribute(head, "method").is_some_and(|method| method.eq_ignore_ascii_case("post")),
            takes_files: tags.iter().any(|tag| attribute(tag, "type").is_some_and(|kind| kind == "file")),
            fields: tags.iter().filter_map(field).collect(),
        };
        let others = tags.iter().filter_map(|tag| attribute(tag, "formaction"));
        let others = others.map(|action| Self { action, ..form.clone() }).collect::<Vec<_>>();
        [vec![form.clone()], others].concat()
    }
}

/// All pages that links lead to, from the first one on. Of addresses that differ in nothing but what is asked for
/// (`?…`) a few are taken.
pub fn crawl(client: &Client) -> BTreeMap<String, Answer> {
    let (mut known, mut pages) = (BTreeSet::new(), BTreeMap::new());
    let mut next = vec!["/".to_owned()];
    let mut of_a_kind: BTreeMap<String, usize> = BTreeMap::new();
    while let Some(path) = next.pop() {
        let kind = path.split('?').next().unwrap_or_default().to_owned();
        let taken = of_a_kind.entry(kind).or_default();
        if *taken >= 12 || !known.insert(path.clone()) {
            continue;
        }
        *taken += 1;
        assert!(pages.len() < MOST, "there is no end of pages; the last one is {path}");
        let answer = client.get(&path);
        next.extend(links(&answer));
        pages.insert(path, answer);
    }
    pages
}

/// Whether it is a page, and no picture, file or redirect.
pub fn is_page(answer: &Answer) -> bool {
    answer.header("content-type").is_some_and(|kind| kind.starts_with("text/html"))
}

fn links(answer: &Answer) -> Vec<String> {
    if !is_page(answer) {
        return answer.header("location").map(ToOwned::to_owned).into_iter().collect();
    }
    let body = answer.body();
    let tags = body.split('<').filter_map(|part| part.split_once('>')).map(|(tag, _)| tag);
    let links = tags.flat_map(|tag| [attribute(tag, "href"), attribute(tag, "src")]).flatten();
    let inner = links.filter(|link| link.starts_with('/') && !link.starts_with("//"));
    inner.map(|link| link.split('#').next().unwrap_or_default().to_owned()).collect()
}
