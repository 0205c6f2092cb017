//! What the Labels page shows is what is printed: the pixels that the browser shows, against those of the run's file.

use base64::{Engine, prelude::BASE64_STANDARD};
use serde_json::json;
use stowmark::{
    output::{Pixels, rasterise},
    unit::Dpi,
};

use super::driver::Browser;
use crate::support::Desk;

/// The picture of the first page as the browser has decoded it, in grey.
fn shown(browser: &Browser) -> Pixels {
    browser.wait_for("#preview img");
    let body = "const [picture, done] = [document.querySelector('#preview img'), arguments[0]];
        picture.decode().then(() => {
          const canvas = document.createElement('canvas');
          [canvas.width, canvas.height] = [picture.naturalWidth, picture.naturalHeight];
          canvas.getContext('2d').drawImage(picture, 0, 0);
          done(canvas.toDataURL('image/png').split(',')[1]);
        }, (fault) => done('fault: ' + fault));";
    let png = browser.script_later(body, &json!([]));
    let png = BASE64_STANDARD.decode(png.as_str().unwrap()).unwrap();
    let picture = image::load_from_memory(&png).unwrap().to_luma8();
    Pixels { width: picture.width(), height: picture.height(), luma: picture.into_raw() }
}

/// `page` is the Labels page with its choice made; the run's file, drawn as large as the picture was.
fn is_printed_as_shown(page: &str, button: &str, width_mm: f64) {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.get(page);
    let shown = shown(&browser);
    browser.click_on(button);
    browser.wait_for_path("/labels/runs/");
    browser.wait_for_text("Open the file to print it");
    let file = desk.client().get(&format!("{}/file.pdf", browser.path()));
    assert_eq!(file.header("content-type"), Some("application/pdf"));
    let dpi = (f64::from(shown.width) * 25.4 / width_mm).round();
    let printed = rasterise(&file.bytes, 1, Dpi::new(dpi).unwrap(), true).unwrap();
    assert_eq!((shown.width, shown.height), (printed.width, printed.height));
    let ink = printed.luma.iter().filter(|&&luma| luma < 128).count();
    assert!(ink > 1000, "{ink} dark pixels: nothing is on the page");
    let others = shown.luma.iter().zip(&printed.luma).filter(|(one, other)| one.abs_diff(**other) > 2).count();
    assert_eq!(others, 0, "{others} of {} pixels differ", printed.luma.len());
}

#[test]
fn tags_on_a_sheet_are_printed_as_they_were_shown() {
    is_printed_as_shown("/labels?what=tags&bin=4A&sheet=a4-3x7", "Print 3 tags", 210.0);
}

#[test]
fn signs_on_plain_paper_are_printed_as_they_were_shown() {
    is_printed_as_shown("/labels?what=signs&codes=4A+4B&sheet=cut&cut=90x55", "Print 2 signs", 210.0);
}

/// Six are kept: the one that was shown first stays where those that were overtaken are left off.
#[test]
fn pages_of_choices_that_were_overtaken_are_left_off() {
    let desk = Desk::with_items();
    let Some(browser) = Browser::paired(&desk) else { return };
    browser.get("/labels?what=tags&which=all");
    browser.wait_for("#preview img");
    let first = browser.script("return document.querySelector('#preview img').getAttribute('src');", &json!([]));
    let body = "const [copies, done] = [document.querySelector('#copies'), arguments[0]];
        const step = (many) => {
          if (many > 308) { done(); return; }
          copies.value = many < 308 ? many : 400;
          copies.dispatchEvent(new Event('change', { bubbles: true }));
          setTimeout(() => step(many + 1), 10);
        };
        step(301);";
    browser.script_later(body, &json!([]));
    browser.wait_for_text("1200 tags");
    assert_eq!(browser.client().get(first.as_str().unwrap()).status, 200);
    assert_eq!(browser.complaints(), [""; 0]);
}
