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
pub mod photo;
mod place;
mod report;
mod search;
mod simulate;

pub use decode::{Seen, decode, decode_all};
pub use kind::{Figures, KindReport, Sample};
pub use letter::Letter;
pub use linear::{LinearFigures, ScanFigures, linear_figures, scan_figures};
pub use matrix::{MatrixFigures, matrix_figures};
pub use photo::read_photo;
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
    prove_on(parallel::threads(), pdf, expected, resolution, on_read)
}

/// The same on so many threads.
///
/// # Errors
/// As [`prove`].
pub fn prove_on(
    threads: usize,
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    on_read: &(dyn Fn(usize) + Sync),
) -> Result<Report, OutputError> {
    let watch = Watch { on_read, is_cancelled: &|| false };
    Ok(prove_all(threads, pdf, expected, resolution, watch)?.unwrap_or_default())
}

/// As [`prove`], for a user who may leave off: `None` then.
///
/// # Errors
/// As [`prove`].
pub fn prove_watched(
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    watch: Watch<'_>,
) -> Result<Option<Report>, OutputError> {
    prove_all(parallel::threads(), pdf, expected, resolution, watch)
}

/// Who looks on while symbols are read.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    /// Is told how many symbols more were looked at.
    pub on_read: &'a (dyn Fn(usize) + Sync),
    /// Whether to leave off; asked before each symbol and each kind.
    pub is_cancelled: &'a (dyn Fn() -> bool + Sync),
}

fn prove_all(
    threads: usize,
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    watch: Watch<'_>,
) -> Result<Option<Report>, OutputError> {
    let (mut report, samples) = read(threads, pdf, expected, resolution, watch)?;
    let kinds = parallel::map_on(threads, &samples, |(count, sample)| {
        (!(watch.is_cancelled)()).then(|| KindReport::of(sample, *count, resolution.dpi))
    });
    report.kinds = kinds.into_iter().flatten().collect();
    Ok((!(watch.is_cancelled)()).then_some(report))
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
    let watch = Watch { on_read, is_cancelled: &|| false };
    read(parallel::threads(), pdf, expected, resolution, watch).map(|(report, _)| report)
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
    threads: usize,
    pdf: &[u8],
    expected: &[Expected],
    resolution: Resolution,
    watch: Watch<'_>,
) -> Result<(Report, Samples), OutputError> {
    let pdf = OpenPdf::new(pdf)?;
    let pages: Vec<&[Expected]> = expected.chunk_by(|a, b| a.page == b.page).collect();
    // A page at a time on each core: at 600 dpi a page takes 170 MB.
    let read = parallel::map_on(threads, &pages, |on_page| {
        let read = read_page(&pdf, on_page, resolution, watch);
        (watch.on_read)(on_page.len());
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
    watch: Watch<'_>,
) -> Result<(Vec<Fault>, Samples), OutputError> {
    if (watch.is_cancelled)() {
        return Ok((Vec::new(), Samples::new()));
    }
    let page = pdf.draw(expected[0].page, resolution.dpi, false)?;
    let (mut faults, mut samples) = (Vec::new(), Samples::new());
    for one in expected.iter().take_while(|_| !(watch.is_cancelled)()) {
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

/// A label that was shifted for its printer is looked for this much beside its slot as well. Less than the smallest symbol
/// is wide: that of a neighbour is never wholly in sight.
const BESIDE: Mm = Mm(3.5);

/// A part of a page in which a symbol is looked for, in pixels.
#[derive(Debug, Clone, Copy)]
struct Window {
    left: u32,
    top: u32,
    width: u32,
    height: u32,
}

impl Window {
    /// The box of a label or a symbol, or as much some steps beside it.
    fn of(one: &Expected, (across, down): (f64, f64), dpi: Dpi) -> Self {
        let pixel = |length: Mm| dpi.dots_within(dpi.snap(length)).0;
        let (left, top) = (pixel(one.at.x + BESIDE * across), pixel(one.at.y + BESIDE * down));
        Self { left, top, width: pixel(one.size.width), height: pixel(one.size.height) }
    }

    fn cut(&self, page: &Pixels) -> Pixels {
        page.cropped(self.left, self.top, self.width, self.height)
    }
}

fn look_at(page: &Pixels, one: &Expected, resolution: Resolution) -> Result<Sample, Wrong> {
    let window = Window::of(one, (0.0, 0.0), resolution.dpi);
    let first = match look_in(page, window, one, resolution) {
        Err(Wrong::Unread) => look_turned(window.cut(page), one, resolution),
        seen => seen,
    };
    if first.is_ok() || one.extent == Extent::Symbol {
        return first;
    }
    let steps = [-1.0, 0.0, 1.0].into_iter().flat_map(|down| [-1.0, 0.0, 1.0].map(|across| (across, down)));
    let beside = steps.filter_map(|steps| look_in(page, Window::of(one, steps, resolution.dpi), one, resolution).ok());
    beside.into_iter().next().map_or(first, Ok)
}

/// Reads the symbol in a part of a page, and looks at it closely on the whole page: a window hides what stands beside it.
fn look_in(page: &Pixels, window: Window, one: &Expected, resolution: Resolution) -> Result<Sample, Wrong> {
    let picture = window.cut(page);
    let seen = decode(&picture, one.kind).ok_or(Wrong::Unread)?;
    if !one.is_said_by(&seen.text) {
        return Err(Wrong::Says(seen.text));
    }
    let (symbol, rough) = locate(&picture, &seen, one.kind).ok_or(Wrong::Unread)?;
    let (place, sample) = closely(page, symbol, rough.moved(window.left, window.top), resolution)?;
    let is_moved = one.extent == Extent::Symbol && place.is_whole() && !fills(&place, window, &sample.symbol);
    if is_moved { Err(Wrong::Moved) } else { Ok(sample) }
}

/// Reads a symbol on a page that was turned for its printer, by quarters.
fn look_turned(mut picture: Pixels, one: &Expected, resolution: Resolution) -> Result<Sample, Wrong> {
    let mut wrong = Wrong::Unread;
    for _ in 0..3 {
        picture = picture.turned();
        let seen = decode(&picture, one.kind).filter(|seen| one.is_said_by(&seen.text));
        if let Some((symbol, rough)) = seen.and_then(|seen| locate(&picture, &seen, one.kind)) {
            match closely(&picture, symbol, rough, resolution) {
                Ok((_, sample)) => return Ok(sample),
                Err(found) => wrong = found,
            }
        }
    }
    Err(wrong)
}

/// The symbol that was read, and about where it is; `None` when it does not stand upright.
fn locate(picture: &Pixels, seen: &Seen, kind: SymbolKind) -> Option<(Symbol, Place)> {
    let symbol = match kind {
        SymbolKind::Code128 => Symbol::code128(&seen.text),
        SymbolKind::Qr => Symbol::qr(&seen.text),
    };
    let symbol = symbol.ok()?;
    let rough = Place::roughly(picture, seen, &symbol)?;
    Some((symbol, rough))
}

fn closely(picture: &Pixels, symbol: Symbol, rough: Place, resolution: Resolution) -> Result<(Place, Sample), Wrong> {
    let place = if resolution.is_own { rough.exactly(picture, &symbol, resolution.dpi)? } else { rough };
    let quiet_zone = place.quiet(picture, &symbol);
    if resolution.is_own && quiet_zone < f64::from(symbol.quiet_modules()) {
        return Err(Wrong::QuietZone);
    }
    let (pixels, at) = place.cut(picture, &symbol);
    Ok((place, Sample { symbol, pixels, at, x: place.x, quiet_zone }))
}

/// Whether a symbol with its quiet zones is just in this window.
fn fills(place: &Place, window: Window, symbol: &Symbol) -> bool {
    let quiet = f64::from(symbol.quiet_modules()) * place.x;
    let above = if symbol.kind() == SymbolKind::Qr { quiet } else { 0.0 };
    let is = |a: f64, b: u32| (a - f64::from(b)).abs() < 0.5;
    is(place.left - quiet, window.left)
        && is(place.top - above, window.top)
        && is(place.width + 2.0 * quiet, window.width)
        && is(place.height + 2.0 * above, window.height)
}
