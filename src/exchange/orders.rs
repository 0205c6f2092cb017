//! A list of what was sold, exported by a shop's or a marketplace's pages or kept in a spreadsheet, as checked rows.
//!
//! Start with [`read_orders`]. What only the register knows of codes and titles is not checked, nor whether the price
//! of a whole order stands on each of its rows.

use jiff::civil::Date;

use super::{
    CsvFile, DateError, DateOrder, Mapping, Rows,
    cells::Cells,
    date::parse_date_in,
    fields::{Field, FileKind},
};
use crate::{
    register::Title,
    unit::{Currency, Money},
};

/// One row of it. Of a field without a column there is nothing either.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct OrderRow {
    /// The code of the item, or a label from before.
    pub code: Option<String>,
    /// What it is.
    pub title: Option<Title>,
    /// All that the buyer paid for it.
    pub price: Option<Money>,
    /// What others took of it.
    pub fees: Option<Money>,
    /// What the seller paid for sending it.
    pub postage: Option<Money>,
    /// When it was sold.
    pub date: Option<Date>,
    /// The order that it is a part of.
    pub order: Option<Title>,
}

/// What the columns of a list of orders can mean. Headings that may be what the buyer paid for postage are left out.
pub static ORDERS: FileKind = FileKind {
    name: "orders",
    fields: &[
        Field {
            name: "code",
            meaning: "the code",
            wordings: &[
                "code",
                "item code",
                "sku",
                "stock code",
                "old code",
                "stock number",
                "item number",
                "item no",
                "barcode",
            ],
            is_amount: false,
        },
        Field {
            name: "title",
            meaning: "the title",
            wordings: &["title", "item", "item title", "item name", "description", "name", "product", "product name"],
            is_amount: false,
        },
        Field {
            name: "price",
            meaning: "the price",
            wordings: &[
                "price",
                "total",
                "order total",
                "total price",
                "sale price",
                "sold for",
                "amount paid",
                "buyer paid",
                "paid",
            ],
            is_amount: true,
        },
        Field {
            name: "fees",
            meaning: "the fees",
            wordings: &["fees", "fee", "total fees", "selling fees", "commission"],
            is_amount: true,
        },
        Field {
            name: "postage",
            meaning: "the postage",
            wordings: &["postage", "postage cost", "shipping cost", "label cost", "postage label"],
            is_amount: true,
        },
        Field {
            name: "date",
            meaning: "the day of the sale",
            wordings: &["date", "sold on", "date sold", "sold", "sale date", "order date", "date of sale", "ordered"],
            is_amount: false,
        },
        Field {
            name: "order",
            meaning: "the order",
            wordings: &["order", "order number", "order no", "order id", "order code", "order ref", "order reference"],
            is_amount: false,
        },
    ],
    needs: &[&["code", "title"]],
    whole: &[],
};

/// Reads a list of orders. Amounts are in the given currency, dates that could be two in the given order.
#[must_use]
pub fn read_orders(file: CsvFile, mapping: Mapping, currency: &Currency, dates: Option<DateOrder>) -> Rows<OrderRow> {
    Rows::read(file, mapping, |cells| Some(read_row(cells, currency, dates)))
}

fn read_row(cells: &mut Cells<'_>, currency: &Currency, dates: Option<DateOrder>) -> OrderRow {
    let (code, title) = (cells.text("code"), cells.given("title", Title::new));
    if code.is_none() && title.is_none() {
        let field = if cells.has("code") { "code" } else { "title" };
        cells.fault(field, "the cell is empty, so it can't be told what was sold");
    }
    OrderRow {
        code,
        title,
        price: cells.given("price", |text| currency.parse(text)),
        fees: cells.given("fees", |text| currency.parse(text)),
        postage: cells.given("postage", |text| currency.parse(text)),
        date: cells.given("date", |text| parse_day(text, dates)),
        order: cells.given("order", Title::new),
    }
}

fn parse_day(text: &str, dates: Option<DateOrder>) -> Result<Date, DateError> {
    parse_date_in(day_part(text), dates)
}

/// Without the time of day that orders come with: `2026-11-20T18:04:11Z`, `20/11/2026 18:04`.
#[must_use]
pub fn day_part(text: &str) -> &str {
    let text = text.trim();
    let is_time = |rest: &str| rest.contains(':') && rest.starts_with(|c: char| c.is_ascii_digit());
    match text.split_once(['T', ' ']) {
        Some((day, rest)) if is_time(rest.trim_start()) => day.trim_end_matches(','),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn read(text: &str) -> Rows<OrderRow> {
        let file = CsvFile::read(text.as_bytes()).unwrap();
        let mapping = Mapping::find(&ORDERS, file.headings(), &[], None).unwrap();
        read_orders(file, mapping, &Currency::default(), None)
    }

    #[test]
    fn a_row_is_read_under_its_headings() {
        let rows = read(
            "Order number;SKU;Item title;Total;Selling fees;Postage cost;Order date;Buyer\n\
             77;4A001F;Copper  jam pan;24,95;3,20;4,90;2026-11-20 18:04:11;x\n;4A002C;;;;;;\n",
        );
        let money = Money::from_minor;
        let title = |text: &str| Some(Title::new(text).unwrap());
        let first = OrderRow {
            code: Some("4A001F".into()),
            title: title("Copper jam pan"),
            price: money(2495),
            fees: money(320),
            postage: money(490),
            date: Some(date(2026, 11, 20)),
            order: title("77"),
        };
        assert_eq!(rows.good[0].value, first);
        assert_eq!(rows.good[1].value, OrderRow { code: Some("4A002C".into()), ..OrderRow::default() });
        assert_eq!(rows.mapping.unread(), ["Buyer"]);
    }

    #[test]
    fn days_may_come_with_a_time() {
        let cases = [
            ("2026-11-20T18:04:11Z", "2026-11-20"),
            ("20/11/2026 18:04", "20/11/2026"),
            ("20.11.2026, 6:04 pm", "20.11.2026"),
            ("2026-11-20", "2026-11-20"),
            ("20 Nov 2026", "20 Nov 2026"),
            (" ", ""),
        ];
        for (text, day) in cases {
            assert_eq!(day_part(text), day, "{text}");
        }
    }

    #[test]
    fn something_must_tell_what_was_sold() {
        let rows = read("code,title,price\n,,3\n,Pan,x\n");
        let reasons: Vec<&str> = rows.refused.iter().map(|row| row.reason.as_str()).collect();
        assert_eq!(
            reasons,
            ["code: the cell is empty, so it can't be told what was sold", "price: `x` is no amount; write it as 3.50"]
        );
    }

    #[test]
    fn what_buyers_paid_for_postage_is_not_taken_for_postage() {
        let rows = read("code,price,shipping,postage and packing\n4A001F,3,4,5\n");
        assert_eq!(rows.mapping.unread(), ["shipping", "postage and packing"]);
    }
}
