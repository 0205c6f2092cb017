//! What columns are taken for: by their headings, as the user says and as was remembered.

use super::*;
use crate::exchange::{BUYS, DateOrder};

fn strings(headings: &[&str]) -> Vec<String> {
    headings.iter().map(ToString::to_string).collect()
}

fn asked(maps: &[&str]) -> Vec<Asked> {
    maps.iter().map(|map| map.parse().unwrap()).collect()
}

fn find(headings: &[&str], maps: &[&str], remembered: Option<&str>) -> Result<Mapping, MappingError> {
    Mapping::find(&BUYS, &strings(headings), &asked(maps), remembered)
}

fn columns(mapping: &Mapping) -> Vec<(&'static str, &str)> {
    mapping.fields().map(|(field, heading)| (field.name, heading)).collect()
}

#[test]
fn every_wording_is_known_in_any_case_and_order() {
    for field in BUYS.fields {
        for wording in field.wordings {
            assert_eq!(bare(wording), *wording, "a wording that can't be met");
            let heading = format!(" {} (GBP)", wording.to_uppercase());
            // Those that make sense together only have the others beside them.
            let group = BUYS.whole.iter().find(|group| group.contains(&field.name)).copied().unwrap_or_default();
            let others = group.iter().filter(|other| **other != field.name);
            let headings: Vec<&str> = ["Shelf", &heading, "title"].into_iter().chain(others.copied()).collect();
            let found = find(&headings, &[], None);
            let expected = if field.name == "title" { None } else { Some(1) };
            assert_eq!(found.ok().and_then(|mapping| mapping.column(field.name)), expected, "{wording}");
        }
    }
    for wording in BUYS.field("title").unwrap().wordings {
        assert_eq!(find(&["x", wording], &[], None).unwrap().column("title"), Some(1), "{wording}");
    }
}

#[test]
fn columns_that_need_each_other_are_read_together_or_not_at_all() {
    let sides = ["title", "Length (cm)", "Width", "Height"];
    assert_eq!(find(&sides, &[], None).unwrap().column("height"), Some(3));
    let mapping = find(&sides[..3], &[], None).unwrap();
    assert_eq!((columns(&mapping), mapping.unread()), (vec![("title", "title")], strings(&["Length (cm)", "Width"])));
    let refused = find(&["title", "long"], &["length=long"], None).unwrap_err();
    let why = "--map: length is of use together with width and height only; name their columns as well";
    assert_eq!(refused.to_string(), why);
    assert!(find(&["title", "a", "b", "c"], &["length=a", "width=b", "height=c"], None).is_ok());
}

#[test]
fn no_heading_means_two_things() {
    let mut all: Vec<&str> = BUYS.fields.iter().flat_map(|field| field.wordings).copied().collect();
    let count = all.len();
    all.sort_unstable();
    all.dedup();
    assert_eq!(all.len(), count);
}

#[test]
fn columns_without_a_meaning_are_unread() {
    let mapping = find(&["Title", "Cost (GBP)", "Asking\r\nprice €", "Shelf", "", "costs"], &[], None).unwrap();
    assert_eq!(columns(&mapping), [("title", "Title"), ("cost", "Cost (GBP)"), ("asking", "Asking price €")]);
    assert_eq!(mapping.unread(), ["Shelf", "costs"]);
    assert!(mapping.is_amount(1) && mapping.is_amount(2) && !mapping.is_amount(0) && !mapping.is_amount(3));
}

#[test]
fn missing_and_doubled_columns_are_named() {
    let cases: [(&[&str], &str); 3] = [
        (
            &["What", "cost", "no\u{7}te"],
            "no column holds the title or the code, the headings are `What`, `cost`, `no te`; \
             name one of them title, item, description or name, or say which it is with --map title=\"HEADING\"",
        ),
        (
            &["Item", "cost", "Description"],
            "the columns `Item` and `Description` both mean the title; say which it is with --map title=\"Item\", \
             or rename one of them",
        ),
        (
            &["title", "Price paid", "cost"],
            "the columns `Price paid` and `cost` both mean the cost; say which it is with --map \
             cost=\"Price paid\", or rename one of them",
        ),
    ];
    for (headings, expected) in cases {
        assert_eq!(find(headings, &[], None).unwrap_err().to_string(), expected);
    }
    assert!(find(&["x"; 13], &[], None).unwrap_err().to_string().contains("`x` and more; name"));
}

#[test]
fn the_user_says_what_a_column_is() {
    let mapping = find(&["Item", "Description", "Mine", "EUR"], &["title=description", "cost=EUR"], None).unwrap();
    assert_eq!(columns(&mapping), [("title", "Description"), ("cost", "EUR")]);
    assert_eq!(mapping.unread(), ["Item", "Mine"]);
    // A column that is taken is nothing else; a field may be named as a heading; one may stay unread.
    let mapping = find(&["name", "code", "price"], &["Old code=Code", "asking="], None).unwrap();
    assert_eq!(columns(&mapping), [("title", "name"), ("old", "code")]);
}

#[test]
fn what_can_not_be_mapped_is_refused_with_what_there_is() {
    let cases: [(&[&str], &[&str], &str); 5] = [
        (
            &["title"],
            &["colour=title"],
            "--map: there is no field `colour`; \
             there are code, title, bin, cost, asking, bought, old, note, litres, measures, \
             length, width, height, size and grams",
        ),
        (&["a", "b"], &["title=c"], "--map: no column has the heading `c`; the headings are `a`, `b`"),
        (&["a", "a"], &["title=a"], "--map: more than one column has the heading `a`; rename one of them"),
        (&["a", "b"], &["title=a", "note=a"], "--map: `a` is named twice; name each field and each heading once"),
        (&["a", "b"], &["title=a", "item=b"], "--map: `item` is named twice; name each field and each heading once"),
    ];
    for (headings, maps, expected) in cases {
        assert_eq!(find(headings, maps, None).unwrap_err().to_string(), expected, "{maps:?}");
    }
    for text in ["title", "=a", " = "] {
        let expected =
            format!("`{text}` is no mapping; write it as title=\"Item name\", or title= to leave the title unread");
        assert_eq!(text.parse::<Asked>().unwrap_err().to_string(), expected);
    }
}

#[test]
fn what_was_said_is_remembered_for_these_headings_in_any_order() {
    let first = find(&["What", "EUR", "price"], &["title=What", "cost=EUR", "asking="], None).unwrap();
    let (key, text) = first.to_remember().unwrap();
    assert_eq!(key, mapping_key(&BUYS, &strings(&["eur ", "PRICE", "What"])));
    assert_ne!(key, mapping_key(&BUYS, &strings(&["eur ", "PRICE"])));
    let second = find(&["eur", "price", "what"], &[], Some(&text)).unwrap();
    assert_eq!(columns(&second), [("title", "what"), ("cost", "eur")]);
    assert_eq!(second.remembered_fields().count(), 2);
    assert_eq!(second.to_remember(), None);
    // Said again, in part otherwise.
    let third = find(&["eur", "price", "what"], &["asking=price"], Some(&text)).unwrap();
    assert_eq!(columns(&third), [("title", "what"), ("cost", "eur"), ("asking", "price")]);
    assert_eq!(third.known_by("asking"), Some(KnownBy::User));
    let (_, text) = third.to_remember().unwrap();
    assert_eq!(columns(&find(&["eur", "price", "what"], &[], Some(&text)).unwrap()), columns(&third));
    // A column that was remembered for one field and is named for another.
    let fourth = find(&["eur", "price", "what"], &["asking=eur", "cost=price"], Some(&text)).unwrap();
    assert_eq!(columns(&fourth), [("title", "what"), ("cost", "price"), ("asking", "eur")]);
}

#[test]
fn the_order_of_dates_is_remembered_when_said() {
    let mut mapping = find(&["title", "date"], &[], None).unwrap();
    assert_eq!((mapping.to_remember(), mapping.dates()), (None, None));
    mapping.remember_dates(DateOrder::DayFirst);
    let (_, text) = mapping.to_remember().unwrap();
    assert_eq!(find(&["title", "date"], &[], Some(&text)).unwrap().dates(), Some(DateOrder::DayFirst));
    assert_eq!(find(&["title", "date"], &[], Some("damaged")).unwrap().dates(), None);
}
