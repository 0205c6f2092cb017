//! Photographs sent to Find.

use stowmark::{
    output::{Pixels, rasterise},
    unit::Dpi,
};

use crate::support::{Client, Desk};

/// The first page of a PDF in the desk's folder, as a scanner sees it.
fn scanned(desk: &Desk, pdf: &str) -> Vec<u8> {
    let pdf = std::fs::read(desk.path(pdf)).unwrap();
    rasterise(&pdf, 1, Dpi::new(200.0).unwrap(), true).unwrap().png().unwrap()
}

/// Three items in 4A, and a picture of their tags.
pub fn with_tags() -> (Desk, Vec<u8>) {
    let desk = Desk::with_items();
    desk.run(&["tag", "--symbol", "qr", "--no-proof"]);
    let tags = scanned(&desk, "tags-0001.pdf");
    (desk, tags)
}

fn send(client: &Client, picture: &[u8]) -> crate::support::Answer {
    client.post_file_as("/photo", &[], "photo", "IMG 1.jpg", picture)
}

#[test]
fn all_tags_of_a_picture_are_shown() {
    let (desk, tags) = with_tags();
    let answer = send(&desk.client(), &tags);
    assert_eq!(answer.status, 200, "{}", answer.text());
    for part in ["3 tags and signs.", "Copper jam pan", "Board game, 12 geese", "href=\"/i/4A-003A\""] {
        assert!(answer.has(part), "{part}: {}", answer.text());
    }
}

#[test]
fn what_is_not_known_is_named() {
    let (_, tags) = with_tags();
    let answer = send(&Desk::with_bins().client(), &tags);
    assert!(answer.has("Read, but not known here") && answer.has("4A-002C"), "{}", answer.text());
}

#[test]
fn a_device_that_only_looks_may_send_one() {
    let (desk, tags) = with_tags();
    let answer = send(&desk.looker(), &tags);
    assert!(answer.status == 200 && answer.has("Copper jam pan") && !answer.has("Put elsewhere"), "{}", answer.text());
}

#[test]
fn what_can_not_be_read_is_refused_by_name_with_the_form() {
    let (desk, tags) = with_tags();
    let client = desk.client();
    let blank = Pixels { width: 200, height: 100, luma: vec![200; 20_000] }.png().unwrap();
    let answer = send(&client, &blank);
    assert!(answer.status == 200 && answer.has("No tag or sign was read."), "{}", answer.text());
    for (picture, words) in [
        (
            &b"\0\0\0\x18ftypheic\0\0\0\0"[..],
            "It is a HEIC picture, and only JPEG and PNG are read; set the camera to take JPEG",
        ),
        (b"RIFF\x10\0\0\0WEBPVP8 ", "It is a WebP picture"),
        (b"", "The file is empty"),
        (&tags[..tags.len() / 2], "The picture is damaged; send it again, or take a new one"),
    ] {
        let answer = send(&client, picture);
        assert!(answer.status == 422 && answer.has(words), "{words}: {} {}", answer.status, answer.text());
        assert!(answer.has("type=\"file\""), "{words}");
    }
    let none = client.post_file_as("/photo", &[], "other", "x.jpg", &tags);
    assert!(none.status == 422 && none.has("No photograph came."), "{}", none.text());
}

#[test]
fn a_picture_that_is_too_large_is_refused() {
    let desk = Desk::with_bins();
    let mut large = vec![0; 40_500_000];
    large[..3].copy_from_slice(&[0xFF, 0xD8, 0xFF]);
    let answer = send(&desk.client(), &large);
    assert!(answer.status == 422 && answer.has("It has 41 MB"), "{} {}", answer.status, answer.text());
}
