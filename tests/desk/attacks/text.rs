//! Text that would be script, markup, a header or a question to the database, in everything that has a name.

use crate::{
    client::percent,
    pages::{crawl, is_page},
    support::Desk,
};

const SCRIPT: &str = "<script>alert(1)</script>";
const QUOTED: &str = "\"><img src=x onerror=alert(1)>";
const SINGLE: &str = "'-alert(1)-'";
const MARKUP: &str = "</textarea></title><svg onload=alert(1)>{{ 7*7 }}&lt;b&gt;";

/// The words as they would work: none may stand in a page like that.
const ALIVE: [&str; 4] = ["<script>alert", "<img src=x", "<svg onload", "</textarea></title>"];

fn named() -> Desk {
    Desk::over(&[
        &["area", "add", "4", SCRIPT],
        &["area", "add", "5", QUOTED],
        &["bin", "add", "4", "--count", "2", "--spot", MARKUP],
        &["bin", "add", "5", "--spot", SINGLE],
        &["item", "add", SCRIPT, "--bin", "4A", "--asking", "9"],
        &["item", "add", QUOTED, "--bin", "4A", "--cost", "2"],
        &["item", "add", MARKUP, "--bin", "5A"],
        &["item", "add", SINGLE],
        &["sold", "4A-001F", "--price", "9"],
    ])
}

#[test]
fn it_stands_in_every_page_as_text() {
    let desk = named();
    let client = desk.client();
    let pages = crawl(&client);
    let searched = [SCRIPT, QUOTED, MARKUP, SINGLE].map(|text| format!("/?q={}", percent(text)));
    let more = searched.iter().map(|path| (path.clone(), client.get(path)));
    let mut seen = 0;
    for (path, page) in pages.into_iter().chain(more) {
        if !is_page(&page) {
            // A file to be kept, or a picture made of dots.
            let kind = page.header("content-type").unwrap_or_default();
            assert!(!kind.contains("html") && !kind.contains("svg") || path == "/icon.svg", "{path}: {kind}");
            continue;
        }
        for alive in ALIVE {
            assert!(!page.body().contains(alive), "{path}: {alive}");
        }
        seen += usize::from(page.text().contains(SCRIPT));
    }
    assert!(seen > 3, "the words were on {seen} pages only");
}

#[test]
fn it_stands_in_parts_and_refusals_as_text() {
    let desk = named();
    let client = desk.client();
    for text in [SCRIPT, QUOTED, MARKUP] {
        for path in [format!("/?q={}", percent(text)), format!("/i/{}", percent(text)), format!("/b/{}", percent(text))]
        {
            for answer in [client.get(&path), client.part(&path)] {
                for alive in ALIVE {
                    assert!(!answer.body().contains(alive), "{path}: {alive}");
                }
            }
        }
    }
}

/// What a search language, SQL or a pattern would take for more than words.
#[test]
fn searches_are_words_and_nothing_else() {
    let desk = Desk::with_items();
    let client = desk.client();
    let before = desk.dump();
    let odd = [
        "'",
        "\"",
        "\"copper",
        "copper OR 1=1",
        "*",
        "co*",
        "%",
        "_",
        "a AND (b",
        "NEAR(",
        "title:copper",
        "-copper",
        "^copper",
        "'; DROP TABLE item; --",
        "\\",
        "\u{0}",
        "\u{202e}",
        "\u{feff}",
        "🧶",
        "  ",
        "+",
        "4A-001F'",
    ];
    for text in odd {
        let answer = client.get(&format!("/?q={}", percent(text)));
        assert!(answer.status < 500, "{text:?}: {} {}", answer.status, answer.text());
    }
    let long = "copper ".repeat(4000);
    assert!(client.get(&format!("/?q={}", percent(&long))).status < 500);
    assert_eq!(desk.dump(), before);
}
