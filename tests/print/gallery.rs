//! All designs on six sheets as pictures to look at: `STOWMARK_GALLERY=FOLDER cargo test --test print gallery`.

use std::{env, fs, path::Path};

use stowmark::{label::Drawing, sheet::Sheet};

use super::{
    contact,
    designs::{CHOICES, NAMES, draw, has_symbols, sheet},
    samples::dpi,
};

/// Smallest, largest, rolls, cut, Letter, A4.
const SHEETS: [&str; 10] = [
    "letter-4x20",
    "a4-1x1",
    "roll-57x32",
    "roll-100x150",
    "cut-90x55",
    "letter-3x10",
    "letter-2x5",
    "a4-3x7",
    "a4-5x13",
    "a4-2x4",
];

fn drawings(name: &str, is_long: bool, sheet: &Sheet) -> Vec<Drawing> {
    let stock = sheet.stock(dpi(300.0));
    let choices = if has_symbols(name) { &CHOICES[..] } else { &CHOICES[..1] };
    let mut drawings = Vec::new();
    for (kind, choice) in choices {
        match draw(name, is_long, &stock, *choice) {
            Ok(drawn) => {
                for warning in drawn.iter().flat_map(|drawn| &drawn.warnings) {
                    println!("{name} {} {kind}: {warning}", sheet.name);
                }
                drawings.extend(drawn.into_iter().take(4).map(|drawn| drawn.drawing));
            }
            Err(error) => println!("{name} {} {kind}: REFUSED {error}", sheet.name),
        }
    }
    drawings
}

#[test]
fn gallery() {
    let Some(folder) = env::var_os("STOWMARK_GALLERY") else {
        println!("no folder named by STOWMARK_GALLERY, so no pictures are written");
        return;
    };
    fs::create_dir_all(&folder).unwrap();
    for sheet_name in SHEETS {
        let sheet = sheet(sheet_name);
        for (file, names) in [("signs", &NAMES[..3]), ("tags", &NAMES[3..5]), ("others", &NAMES[5..])] {
            let rows: Vec<Vec<Drawing>> = names
                .iter()
                .flat_map(|name| [false, true].map(|is_long| drawings(name, is_long, &sheet)))
                .filter(|row| !row.is_empty())
                .collect();
            let pixels = contact::shown(contact::page(&rows, dpi(300.0), true), 100.0);
            let pixels = if sheet.label_height.0 > 100.0 { contact::halved(&pixels) } else { pixels };
            let pixels = pixels.png().unwrap();
            fs::write(Path::new(&folder).join(format!("{sheet_name}-{file}.png")), pixels).unwrap();
        }
    }
}
