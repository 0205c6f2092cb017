//! A picture softened, smaller, or a part of it larger.
#![expect(clippy::cast_possible_truncation, reason = "light of pixels, and sizes of pictures")]

use crate::output::Pixels;

/// How much of the neighbouring part belongs to a part, in pixels: no symbol that has to be enlarged is as large.
const OVERLAP: u32 = 400;

/// A part of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Part {
    left: u32,
    top: u32,
    width: u32,
    height: u32,
}

/// A picture in four parts, so that they can be looked at at once.
pub(super) fn parts(picture: &Pixels) -> Vec<Part> {
    let cut = |whole: u32| {
        let reach = (whole / 2 + OVERLAP / 2).min(whole);
        if reach == whole { vec![(0, whole)] } else { vec![(0, reach), (whole - reach, reach)] }
    };
    let (across, down) = (cut(picture.width), cut(picture.height));
    let rows = down.into_iter().flat_map(|row| across.iter().map(move |column| (*column, row)));
    rows.map(|((left, width), (top, height))| Part { left, top, width, height }).collect()
}

/// Half as wide and half as high: each pixel is the mean of four.
pub(super) fn halved(picture: &Pixels) -> Pixels {
    let (width, height) = (picture.width / 2, picture.height / 2);
    let stride = picture.width as usize;
    let mut luma = Vec::with_capacity(width as usize * height as usize);
    for rows in picture.luma.chunks_exact(stride.max(1) * 2) {
        let (upper, lower) = rows.split_at(stride);
        for x in 0..width as usize {
            let sum =
                [upper[2 * x], upper[2 * x + 1], lower[2 * x], lower[2 * x + 1]].map(u16::from).iter().sum::<u16>();
            luma.push((sum / 4) as u8);
        }
    }
    Pixels { width, height, luma }
}

/// Each pixel with a share of its neighbours (1, 2, 1 across and down); the edges stay as they are.
pub(super) fn softened(picture: &Pixels) -> Pixels {
    let (stride, from) = (picture.width as usize, &picture.luma);
    let mut luma = from.clone();
    for y in 1..(picture.height as usize).saturating_sub(1) {
        #[expect(clippy::needless_range_loop, reason = "the rows above and below are read at the same place")]
        for at in y * stride + 1..(y + 1) * stride - 1 {
            let row = |at: usize| u32::from(from[at - 1]) + 2 * u32::from(from[at]) + u32::from(from[at + 1]);
            luma[at] = ((row(at - stride) + 2 * row(at) + row(at + stride)) / 16) as u8;
        }
    }
    Pixels { luma, ..*picture }
}

/// A part of a picture, three pixels for each two.
pub(super) fn enlarged(picture: &Pixels, part: Part) -> Pixels {
    let whole = |side: u32| (side.saturating_sub(1) * 3 / 2) as usize;
    let (width, height) = (whole(part.width), whole(part.height));
    let stride = picture.width as usize;
    let mut luma = Vec::with_capacity(width * height);
    for y in 0..height {
        let (row, below) = place(y);
        let start = (part.top as usize + row) * stride + part.left as usize;
        let (upper, lower) = (&picture.luma[start..], &picture.luma[start + stride..]);
        for x in 0..width {
            let (column, right) = place(x);
            let mix = |row: &[u8]| u32::from(row[column]) * (6 - right) + u32::from(row[column + 1]) * right;
            luma.push(((mix(upper) * (6 - below) + mix(lower) * below) / 36) as u8);
        }
    }
    Pixels { width: width as u32, height: height as u32, luma }
}

/// The pixel that an enlarged one lies in, and how many sixths beyond it.
fn place(at: usize) -> (usize, u32) {
    let sixths = at * 4;
    (sixths / 6, (sixths % 6) as u32)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ramp(width: u32, height: u32) -> Pixels {
        let luma = (0..height).flat_map(|y| (0..width).map(move |x| (x * 6 + y * 12) as u8)).collect();
        Pixels { width, height, luma }
    }

    #[test]
    fn a_slope_stays_a_slope() {
        let ramp = ramp(7, 5);
        assert_eq!(softened(&ramp), ramp);
        let half = halved(&ramp);
        assert_eq!((half.width, half.height, half.luma[0], half.luma[4]), (3, 2, 9, 45));
        let large = enlarged(&ramp, Part { left: 1, top: 2, width: 4, height: 3 });
        assert_eq!((large.width, large.height), (4, 3));
        assert_eq!(large.luma, [30, 34, 38, 42, 38, 42, 46, 50, 46, 50, 54, 58]);
    }

    #[test]
    fn parts_overlap_and_leave_nothing_out() {
        let picture = Pixels { width: 3900, height: 2925, luma: Vec::new() };
        let parts = parts(&picture);
        assert_eq!(parts[0], Part { left: 0, top: 0, width: 2150, height: 1662 });
        assert_eq!(parts[3], Part { left: 1750, top: 1263, width: 2150, height: 1662 });
        let small = Pixels { width: 300, height: 200, luma: Vec::new() };
        assert_eq!(super::parts(&small), [Part { left: 0, top: 0, width: 300, height: 200 }]);
    }

    #[test]
    fn small_pictures_are_taken_as_they_are() {
        for (width, height) in [(0, 0), (1, 1), (2, 1), (1, 3), (3, 3)] {
            let picture = ramp(width, height);
            assert_eq!(halved(&picture).luma.len(), (width / 2 * (height / 2)) as usize);
            assert_eq!(softened(&picture).luma.len(), picture.luma.len());
            let part = Part { left: 0, top: 0, width, height };
            let large = enlarged(&picture, part);
            assert_eq!(large.luma.len(), (large.width * large.height) as usize);
        }
    }
}
