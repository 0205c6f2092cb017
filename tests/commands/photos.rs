//! `photo`

use image::{ExtendedColorType, codecs::jpeg::JpegEncoder};
use serde_json::json;
use stowmark::{
    output::{Pixels, rasterise},
    unit::Dpi,
};

use super::support::{Desk, codes};

/// The first page of a PDF, as a scanner sees it.
pub fn scan(desk: &Desk, pdf: &str) -> Pixels {
    rasterise(&desk.read(pdf), 1, Dpi::new(200.0).unwrap(), true).unwrap()
}

fn jpeg(pixels: &Pixels) -> Vec<u8> {
    let mut file = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut file, 80);
    encoder.encode(&pixels.luma, pixels.width, pixels.height, ExtendedColorType::L8).unwrap();
    file
}

fn with_pictures() -> Desk {
    let desk = Desk::with_items();
    desk.run("tag --symbol qr --no-proof").any_stderr().done();
    desk.run("sign 4B --symbol code128 --no-proof").any_stderr().done();
    desk.file("tags.png", scan(&desk, "tags-0001.pdf").png().unwrap());
    desk.file("sign.jpg", jpeg(&scan(&desk, "signs-0002.pdf").turned()));
    desk
}

#[test]
fn all_tags_and_signs_of_pictures_are_found_once() {
    let desk = with_pictures();
    let answer = desk.json("photo tags.png sign.jpg tags.png");
    assert_eq!(codes(&answer, "matches"), ["4A-001F", "4A-002C", "4A-003A", "4B"]);
    assert_eq!((&answer["unknown"], &answer["matches"][3]["kind"]), (&json!([]), &json!("bin")));
    desk.run("photo sign.jpg").stdout("4B  bin with 0 items: Loft, rack 1, level 2\n").done();
}

#[test]
fn what_the_register_does_not_have_is_told() {
    let pictures = with_pictures();
    let desk = Desk::with_bins();
    desk.file("tags.png", pictures.read("tags.png"));
    let answer = desk.run("--json photo tags.png").code(3).done().json();
    assert_eq!(answer, json!({"matches": [], "unknown": ["4A-001F", "4A-002C", "4A-003A"]}));
    desk.run("photo tags.png").code(3).stdout_has("4A-001F  not in the register\n").done();
}

#[test]
fn a_picture_of_nothing_says_what_to_try() {
    let desk = Desk::with_bins();
    let blank = Pixels { width: 300, height: 200, luma: vec![190; 60_000] };
    desk.file("blank.png", blank.png().unwrap());
    desk.run("photo blank.png").code(3).stdout("nothing was read; go nearer, and hold the camera still\n").done();
    assert_eq!(desk.run("--json photo blank.png").code(3).done().json(), json!({"matches": [], "unknown": []}));
}

#[test]
fn what_is_no_picture_is_refused_by_name() {
    let desk = with_pictures();
    let tags = desk.read("tags.png");
    for (name, bytes, words) in [
        (
            "a.heic",
            &b"\0\0\0\x18ftypheic\0\0\0\0"[..],
            "`a.heic`: it is a HEIC picture, and only JPEG and PNG are read",
        ),
        ("a.jpg", b"RIFF\x10\0\0\0WEBPVP8 ", "it is a WebP picture"),
        ("b.jpg", b"", "the file is empty"),
        ("c.jpg", b"title,cost\n", "neither a JPEG nor a PNG"),
        ("d.png", &tags[..tags.len() / 2], "`d.png`: the picture is damaged; send it again, or take a new one"),
    ] {
        desk.file(name, bytes);
        desk.run("photo").args(&[name, "tags.png"]).refused_with(&[words]).done();
    }
    // One that can't be read is no answer at all.
    desk.run("photo tags.png none.jpg").refused_with(&["`none.jpg` can't be read; name a JPEG or PNG file"]).done();
    desk.run("photo").code(2).any_stderr().done();
}
