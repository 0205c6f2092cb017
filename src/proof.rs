//! The finished PDF, drawn as pixels and read back: what do its symbols really say, and what can they bear?
//!
//! Start with [`prove`]. Each page is drawn at the printer's resolution; each symbol is read, compared with what it
//! should say and then pixel by pixel with what it should look like; each kind of symbol goes through simulated
//! prints ([`KindReport`]). The user's paper, ink and reader are not known here: figures and letters are estimates,
//! never a verifier's.

mod codewords;
mod decode;
mod kind;
mod letter;
mod linear;
mod matrix;
mod place;
mod report;
mod search;
mod simulate;

pub use decode::{Seen, decode, decode_all};
pub use kind::{Figures, KindReport, Sample};
pub use letter::Letter;
pub use linear::{LinearFigures, ScanFigures, linear_figures, scan_figures};
pub use matrix::{MatrixFigures, matrix_figures};
pub use report::{Expected, Extent, Fault, Refused, Report, Wrong, expected};
pub use search::{Found, search};
pub use simulate::{Press, Print, SPREADS, TILT, print};

use place::Place;

use crate::{
    output::{OpenPdf, OutputError, Pixels},
    parallel,
    symbol::{Symbol, SymbolKind},
    unit::{Dpi, Mm},
};

/// Reads each symbol of a PDF at its printer's resolution, on all cores, and puts each kind through simulated prints.
/// The report is the same whatever the number of cores. `on_read` is told how many symbols more were looked at.
///
/// # Errors
/// [`OutputError`] when the PDF can't be drawn.
pub fn prove(
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    on_read: &(dyn Fn(usize) + Sync),
) -> Result<Report, OutputError> {
    let (mut report, samples) = read(pdf, expected, resolution, on_read)?;
    report.kinds = parallel::map(&samples, |(count, sample)| KindReport::of(sample, *count, resolution.dpi));
    Ok(report)
}

/// The same without the simulated prints.
///
/// # Errors
/// As [`prove`].
pub fn read_back(
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    on_read: &(dyn Fn(usize) + Sync),
) -> Result<Report, OutputError> {
    read(pdf, expected, resolution, on_read).map(|(report, _)| report)
}

/// At which resolution to look.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Resolution {
    /// Dots per inch.
    pub dpi: Dpi,
    /// Whether modules are whole dots at this resolution, as they are at that of the printer that the file was made
    /// for. Only then can each pixel be checked.
    pub is_own: bool,
}

impl Resolution {
    /// To look at a file made for one printer as another would print it. A whole multiple shows all dots as well.
    #[must_use]
    pub fn new(dpi: Dpi, made_for: Dpi) -> Self {
        let times = dpi.get() / made_for.get();
        Self { dpi, is_own: times >= 0.5 && (times - times.round()).abs() < 1e-9 }
    }
}

impl From<Dpi> for Resolution {
    /// That of the printer which the file was made for.
    fn from(dpi: Dpi) -> Self {
        Self { dpi, is_own: true }
    }
}

/// How many of a kind there are, and the first of them.
type Samples = Vec<(usize, Sample)>;

fn read(
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    on_read: &(dyn Fn(usize) + Sync),
) -> Result<(Report, Samples), OutputError> {
    let pdf = OpenPdf::new(pdf)?;
    let pages: Vec<&[Expected]> = expected.chunk_by(|a, b| a.page == b.page).collect();
    // A page at a time on each core: at 600 dpi a page takes 170 MB.
    let read = parallel::map(&pages, |on_page| {
        let read = read_page(&pdf, on_page, resolution);
        on_read(on_page.len());
        read
    });
    let mut report = Report { symbols: expected.len(), every_dot: resolution.is_own, ..Report::default() };
    let mut samples = Samples::new();
    for page in read {
        let (faults, more) = page?;
        report.faults.extend(faults);
        for (count, sample) in more {
            add(&mut samples, count, sample);
        }
    }
    Ok((report, samples))
}

fn read_page(
    pdf: &OpenPdf,
    expected: &[Expected],
    resolution: Resolution,
) -> Result<(Vec<Fault>, Samples), OutputError> {
    let page = pdf.draw(expected[0].page, resolution.dpi, false)?;
    let (mut faults, mut samples) = (Vec::new(), Samples::new());
    for one in expected {
        match look_at(&page, one, resolution) {
            Ok(sample) => add(&mut samples, 1, sample),
            Err(wrong) => faults.push(Fault { expected: one.clone(), wrong }),
        }
    }
    Ok((faults, samples))
}

/// Counts a symbol to its kind: the same symbology, module and number of modules.
fn add(samples: &mut Samples, count: usize, sample: Sample) {
    let is_alike = |known: &Sample| {
        known.symbol.kind() == sample.symbol.kind()
            && known.symbol.modules() == sample.symbol.modules()
            && (known.x - sample.x).abs() < 0.05
    };
    match samples.iter_mut().find(|(_, known)| is_alike(known)) {
        Some((known, _)) => *known += count,
        None => samples.push((count, sample)),
    }
}

/// Around a label that was shifted for its printer.
const AROUND: Mm = Mm(6.0);

fn look_at(page: &Pixels, one: &Expected, resolution: Resolution) -> Result<Sample, Wrong> {
    let first = look_in(&cut(page, one, Mm::ZERO, resolution.dpi), one, resolution);
    let is_elsewhere = matches!(first, Err(Wrong::Unread | Wrong::Says(_))) && one.extent == Extent::Label;
    if !is_elsewhere {
        return first;
    }
    let around = cut(page, one, AROUND, resolution.dpi);
    let found = decode_all(&around, one.kind).into_iter().filter(|seen| one.is_said_by(&seen.text));
    let samples = found.filter_map(|seen| check(&around, &seen, one, resolution));
    samples.into_iter().next().unwrap_or(first)
}

/// The box of a label or a symbol, or more.
fn cut(page: &Pixels, one: &Expected, around: Mm, dpi: Dpi) -> Pixels {
    let pixel = |length: Mm| dpi.dots_within(dpi.snap(length)).0;
    let (left, top) = (pixel(one.at.x - around), pixel(one.at.y - around));
    let (right, bottom) = (pixel(one.at.x + one.size.width + around), pixel(one.at.y + one.size.height + around));
    page.cropped(left, top, right.saturating_sub(left), bottom.saturating_sub(top))
}

/// Reads the symbol upright, else turned by quarters, as on a page that was turned for its printer.
fn look_in(picture: &Pixels, one: &Expected, resolution: Resolution) -> Result<Sample, Wrong> {
    let mut wrong = Wrong::Unread;
    let mut turned = picture.clone();
    for _ in 0..4 {
        match decode(&turned, one.kind) {
            Some(seen) if one.is_said_by(&seen.text) => match check(&turned, &seen, one, resolution) {
                Some(Ok(sample)) => return Ok(sample),
                Some(Err(worse)) => wrong = worse,
                None => {}
            },
            Some(seen) if wrong == Wrong::Unread => wrong = Wrong::Says(seen.text),
            _ => {}
        }
        turned = turned.turned();
    }
    Err(wrong)
}

/// Looks closely at a symbol that says what it should; `None` when it does not stand upright.
fn check(picture: &Pixels, seen: &Seen, one: &Expected, resolution: Resolution) -> Option<Result<Sample, Wrong>> {
    let symbol = match one.kind {
        SymbolKind::Code128 => Symbol::code128(&seen.text),
        SymbolKind::Qr => Symbol::qr(&seen.text),
    };
    let symbol = symbol.ok()?;
    let rough = Place::roughly(picture, seen, &symbol)?;
    Some(closely(picture, symbol, rough, one.extent, resolution))
}

fn closely(
    picture: &Pixels,
    symbol: Symbol,
    rough: Place,
    extent: Extent,
    resolution: Resolution,
) -> Result<Sample, Wrong> {
    let place = if resolution.is_own { rough.exactly(picture, &symbol, resolution.dpi)? } else { rough };
    let quiet_zone = place.quiet(picture, &symbol);
    if resolution.is_own && quiet_zone < f64::from(symbol.quiet_modules()) {
        return Err(Wrong::QuietZone);
    }
    if extent == Extent::Symbol && place.is_whole() && !fills(&place, picture, &symbol) {
        return Err(Wrong::Moved);
    }
    let (pixels, at) = place.cut(picture, &symbol);
    Ok(Sample { symbol, pixels, at, x: place.x, quiet_zone })
}

/// Whether a symbol with its quiet zones is just what is in the picture.
fn fills(place: &Place, picture: &Pixels, symbol: &Symbol) -> bool {
    let quiet = f64::from(symbol.quiet_modules()) * place.x;
    let above = if symbol.kind() == SymbolKind::Qr { quiet } else { 0.0 };
    let is = |a: f64, b: f64| (a - b).abs() < 0.5;
    is(place.left, quiet)
        && is(place.top, above)
        && is(place.width + 2.0 * quiet, f64::from(picture.width))
        && is(place.height + 2.0 * above, f64::from(picture.height))
}
