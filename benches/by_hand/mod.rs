//! The same pages written with `pdf-writer` by hand: what a program would do that does nothing else.
//!
//! Label-local coordinates, one path a symbol, subset fonts, streams packed at level 6. No measuring
//! and no fitting: it takes the pages as they are laid out.

#![expect(clippy::cast_possible_truncation, reason = "PDF numbers have single precision")]

use std::{
    collections::{BTreeMap, BTreeSet},
    fmt::Write,
};

use pdf_writer::{
    Filter, Finish, Name, Pdf, Rect, Ref, Str,
    types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap},
};
use stowmark::{
    font::{FACES, FaceId, Fonts},
    label::{Mark, PlacedSymbol, TextRun},
    sheet::Page,
    symbol::Symbol,
};
use subsetter::GlyphRemapper;

type Gids = BTreeMap<FaceId, BTreeMap<char, u16>>;

/// The weight of a run: the titles here are Latin, so the bundled Latin face has them all.
fn weight(text: &TextRun) -> FaceId {
    let of = |weight: &FaceId| std::sync::Arc::ptr_eq(Fonts::main(*weight), &text.face);
    FACES.into_iter().find(of).expect("Latin")
}

pub fn pdf(pages: &[Page]) -> Vec<u8> {
    let mut out = Pdf::new();
    let mut next = Ref::new(1);
    let (catalog, tree) = (next.bump(), next.bump());
    out.catalog(catalog).pages(tree);
    let mut gids = Gids::new();
    let mut fonts = Vec::new();
    for face in FACES {
        let (font, map) = font(&mut out, &mut next, face, &characters(pages, face));
        fonts.push(font);
        gids.insert(face, map);
    }
    let kids: Vec<Ref> = pages.iter().map(|_| next.bump()).collect();
    out.pages(tree).kids(kids.iter().copied()).count(i32::try_from(kids.len()).expect("few pages"));
    for (page, id) in pages.iter().zip(kids) {
        let content = next.bump();
        write_page(&mut out, page, (id, tree, content), &fonts);
        out.stream(content, &packed(stream(page, &gids).as_bytes())).filter(Filter::FlateDecode);
    }
    out.finish()
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
}

fn write_page(out: &mut Pdf, page: &Page, (id, tree, content): (Ref, Ref, Ref), fonts: &[Ref]) {
    let mut written = out.page(id);
    written.parent(tree).contents(content);
    written.media_box(Rect::new(0.0, 0.0, page.size.width.to_pt() as f32, page.size.height.to_pt() as f32));
    let mut resources = written.resources();
    let mut dictionary = resources.fonts();
    for (font, number) in fonts.iter().zip(0..) {
        dictionary.pair(Name(format!("F{number}").as_bytes()), *font);
    }
}

fn stream(page: &Page, gids: &Gids) -> String {
    let mut out = String::new();
    for placed in &page.placed {
        let (x, y) = (placed.at.x.to_pt(), (page.size.height - placed.at.y).to_pt());
        let _ = writeln!(out, "q 1 0 0 1 {x:.3} {y:.3} cm");
        for mark in &placed.drawing.marks {
            match mark {
                Mark::Symbol(symbol) => bars_or_runs(&mut out, symbol, page),
                Mark::Text(text) => {
                    let _ = write!(
                        out,
                        "BT /F{} {:.3} Tf {:.3} {:.3} Td <",
                        weight(text) as usize,
                        text.em.to_pt(),
                        text.left.to_pt(),
                        -text.baseline.to_pt()
                    );
                    for character in text.text.chars() {
                        let _ = write!(out, "{:04X}", gids[&weight(text)][&character]);
                    }
                    out.push_str("> Tj ET\n");
                }
                Mark::Rect { .. } => {}
            }
        }
        out.push_str("Q\n");
    }
    out
}

/// Modules as whole numbers under one scale; QR as one rectangle for each run of dark modules in a row.
fn bars_or_runs(out: &mut String, placed: &PlacedSymbol, page: &Page) {
    let dot = page.dpi.dot();
    let place = |dots: u32| (dot * f64::from(dots)).to_pt();
    let module = place(placed.x.0);
    let _ = writeln!(out, "q {module:.5} 0 0 -{module:.5} {:.4} {:.4} cm", place(placed.left.0), -place(placed.top.0));
    match placed.symbol.as_ref() {
        Symbol::Linear(linear) => {
            let height = placed.height.0 / placed.x.0;
            for (start, width) in linear.bars() {
                let _ = writeln!(out, "{start} 0 {width} {height} re");
            }
        }
        Symbol::Matrix(matrix) => {
            for row in 0..matrix.side() {
                let mut column = 0;
                while column < matrix.side() {
                    let width = (column..matrix.side()).take_while(|at| matrix.is_dark(*at, row)).count();
                    if width > 0 {
                        let _ = writeln!(out, "{column} {row} {width} 1 re");
                    }
                    column += width.max(1);
                }
            }
        }
    }
    out.push_str("f Q\n");
}

fn characters(pages: &[Page], face: FaceId) -> BTreeSet<char> {
    let texts = pages.iter().flat_map(|page| &page.placed).flat_map(|placed| placed.drawing.texts());
    texts.filter(|text| weight(text) == face).flat_map(|text| text.text.chars()).collect()
}

fn font(out: &mut Pdf, next: &mut Ref, id: FaceId, used: &BTreeSet<char>) -> (Ref, BTreeMap<char, u16>) {
    let face = Fonts::main(id);
    let mut remapper = GlyphRemapper::new();
    let gids: BTreeMap<char, u16> =
        used.iter().filter_map(|c| Some((*c, remapper.remap(face.glyph(*c)?.id)))).collect();
    let [font, cid, descriptor, cmap, file] = [(); 5].map(|()| next.bump());
    let name = Name(b"STOWMK+AtkinsonHyperlegibleNext");
    out.type0_font(font).base_font(name).encoding_predefined(Name(b"Identity-H")).descendant_font(cid).to_unicode(cmap);
    let info = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
    let mut written = out.cid_font(cid);
    written.subtype(CidFontType::Type2).base_font(name).system_info(info).font_descriptor(descriptor);
    let mut widths = written.widths();
    for (character, gid) in &gids {
        widths.same(*gid, *gid, f32::from(face.glyph(*character).map_or(0, |glyph| glyph.advance)));
    }
    widths.finish();
    written.finish();
    let mut described = out.font_descriptor(descriptor);
    described.name(name).flags(FontFlags::SYMBOLIC).bbox(Rect::new(0.0, -200.0, 1000.0, 800.0)).italic_angle(0.0);
    described.ascent(950.0).descent(-290.0).cap_height(668.0).stem_v(90.0).font_file2(file);
    described.finish();
    let mut unicode = UnicodeCmap::<u16>::new(Name(b"Custom"), info);
    for (character, gid) in &gids {
        unicode.pair(*gid, *character);
    }
    let unicode = packed(&unicode.finish());
    out.cmap(cmap, &unicode).filter(Filter::FlateDecode);
    let bytes = subsetter::subset(face.bytes(), 0, &remapper).expect("the face is whole");
    out.stream(file, &packed(&bytes)).filter(Filter::FlateDecode);
    (font, gids)
}
