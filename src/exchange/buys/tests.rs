//! What the cells of a list of items say.

use jiff::civil::date;

use super::*;

fn read(text: &str) -> Rows<BuyRow> {
    let file = CsvFile::read(text.as_bytes()).unwrap();
    let mapping = Mapping::find(&BUYS, file.headings(), &[], None).unwrap();
    read_buys(file, mapping, &Currency::default(), None)
}

#[test]
fn a_row_is_read_under_its_headings() {
    let list = read(
        "note;Price;Item;Date;Paid;Tub;SKU;shelf\r\n\
         chipped;\"1.234,50\"; Copper  pan ;21.11.2026;3,50 €;4c;K 1; x\r\n;;Pot;;;;;\r\n",
    );
    let money = Money::from_minor;
    let title = |text: &str| Some(Title::new(text).unwrap());
    let pan = BuyRow {
        code: None,
        title: title("Copper pan"),
        bought: Some(date(2026, 11, 21)),
        cost: money(350),
        asking: money(123_450),
        bin: Some("4c".into()),
        old: vec!["K 1".into()],
        note: title("chipped"),
        bulk: Bulk::default(),
    };
    let pot = BuyRow { title: title("Pot"), ..BuyRow::default() };
    assert_eq!((list.good[0].line, &list.good[0].value), (2, &pan));
    assert_eq!((list.good[1].line, &list.good[1].value), (3, &pot));
    assert_eq!((list.good.len(), list.refused.len(), list.mapping.unread()), (2, 0, vec!["shelf".to_owned()]));
}

#[test]
fn old_codes_are_parted_by_semicolons_and_lines() {
    let list = read("title,old code\nPan,\"K 1; K,2\n;'=3\"\nPot,'-7\n");
    let old: Vec<&[String]> = list.good.iter().map(|row| row.value.old.as_slice()).collect();
    assert_eq!(old, [&["K 1", "K,2", "'=3"] as &[&str], &["-7"]]);
}

#[test]
fn a_code_may_stand_for_the_title() {
    let list = read("code,asking\n4A-001F,3\n,4\n");
    assert_eq!((list.good[0].value.code.as_deref(), list.good.len()), (Some("4A-001F"), 1));
    assert_eq!(list.refused[0].reason, "code: the cell is empty, and there is no title for a new item");
    let list = read("code,title\n4A-001F,\n");
    assert_eq!(list.refused[0].reason, "title: the title or name is empty");
}
