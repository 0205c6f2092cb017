//! Code 128 along straight lines through a picture, in many directions.
//!
//! Edges are placed between pixels, so that modules of two pixels are told apart; `rxing` reads the bars. A symbol is
//! crossed by several lines: whoever asks decides how many have to agree.
#![expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::cast_sign_loss,
    reason = "places and light of pixels: a picture has at most a hundred million"
)]

use std::{
    collections::{HashMap, VecDeque},
    panic::{AssertUnwindSafe, catch_unwind},
};

use rxing::{
    DecodeHints,
    common::BitArray,
    oned::{Code128Reader, OneDReader},
};

use super::Readings;
use crate::output::Pixels;

/// In degrees. Symbols are read forwards and backwards, and up to some ten degrees beside a line.
pub(super) const DIRECTIONS: [u32; 12] = [0, 90, 15, 30, 45, 60, 75, 105, 120, 135, 150, 165];

/// Pixels between two lines.
const APART: usize = 5;
/// Pixels on either side among which the darkest and the lightest are looked for.
const AROUND: usize = 12;
/// What they differ by at an edge.
const CONTRAST: u8 = 36;
/// Parts of a pixel.
const PARTS: u32 = 16;
/// The three start characters (ISO/IEC 15417, table 1), 11 modules each.
const STARTS: [[u32; 6]; 3] = [[2, 1, 1, 4, 1, 2], [2, 1, 1, 2, 1, 4], [2, 1, 1, 2, 3, 2]];
/// Bars and gaps of the shortest symbol: a start, a character, a check and the stop.
const SHORTEST: usize = 3 * 6 + 7;
/// Bars and gaps of the longest that is looked for.
const LONGEST: usize = 20 * 6 + 7;
/// Bits that a module is shown to the decoder with, which counts in whole ones.
const BITS: u32 = 8;

/// Reads along all lines of a direction; a text counts once for each line that it is on.
pub(super) fn read(picture: &Pixels, degrees: f64) -> Readings {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let (width, height) = (f64::from(picture.width), f64::from(picture.height));
    let length = (width * cos.abs() + height * sin.abs()).ceil();
    let across = (width * sin.abs() + height * cos.abs()) as usize;
    let mut found = HashMap::new();
    let mut line = Vec::new();
    for beside in (APART / 2..across).step_by(APART) {
        let beside = beside as f64 - across as f64 / 2.0;
        let start = (width / 2.0 - length / 2.0 * cos - beside * sin, height / 2.0 - length / 2.0 * sin + beside * cos);
        sample(picture, start, (cos, sin), length as usize, &mut line);
        let mut runs = runs(&line);
        read_runs(&runs, &mut found);
        runs.reverse();
        read_runs(&runs, &mut found);
    }
    found.into_iter().collect()
}

/// How light it is along a line, pixel by pixel, between the picture's edges.
fn sample(picture: &Pixels, start: (f64, f64), step: (f64, f64), length: usize, line: &mut Vec<u8>) {
    let fixed = |value: f64| (value * 65536.0).round() as i64;
    let stride = picture.width as usize;
    let (right, bottom) = (i64::from(picture.width) - 1, i64::from(picture.height) - 1);
    let (mut x, mut y, dx, dy) = (fixed(start.0), fixed(start.1), fixed(step.0), fixed(step.1));
    line.clear();
    for _ in 0..length {
        let (left, top) = (x >> 16, y >> 16);
        if left >= 0 && top >= 0 && left < right && top < bottom {
            let luma = &picture.luma[top as usize * stride + left as usize..];
            let (beside, below) = ((x >> 8 & 255) as u32, (y >> 8 & 255) as u32);
            let mix = |left: u8, right: u8| u32::from(left) * (256 - beside) + u32::from(right) * beside;
            let (upper, lower) = (mix(luma[0], luma[1]), mix(luma[stride], luma[stride + 1]));
            line.push(((upper * (256 - below) + lower * below) >> 16) as u8);
        } else if !line.is_empty() {
            break;
        }
        x += dx;
        y += dy;
    }
}

/// How long it is light and dark by turns, in parts of a pixel, from a light run to a light run.
fn runs(line: &[u8]) -> Vec<u32> {
    let (mut runs, mut since, mut is_dark) = (Vec::new(), 0, false);
    let (mut darkest, mut lightest) = (Extreme::default(), Extreme::default());
    for at in 1..line.len() {
        let (from, to) = (at.saturating_sub(AROUND), (at + AROUND).min(line.len() - 1));
        let dark = darkest.within(line, from, to, |new, old| new <= old);
        let light = lightest.within(line, from, to, |new, old| new >= old);
        let middle = u32::midpoint(dark.into(), light.into());
        if light - dark < CONTRAST || (u32::from(line[at]) < middle) == is_dark {
            continue;
        }
        let edge = edge(at, line[at - 1], line[at], middle).max(since + 1);
        runs.push(edge - since);
        (since, is_dark) = (edge, !is_dark);
    }
    runs.push(line.len() as u32 * PARTS - since + 1);
    if is_dark {
        runs.push(1);
    }
    runs
}

/// Where between two pixels a line passes the middle.
fn edge(at: usize, before: u8, here: u8, middle: u32) -> u32 {
    let (before, here) = (u32::from(before), u32::from(here));
    let gone = before.abs_diff(middle) * PARTS / before.abs_diff(here).max(1);
    (at as u32 - 1) * PARTS + gone.min(PARTS)
}

/// The darkest or the lightest within a window that moves on.
#[derive(Default)]
struct Extreme {
    /// Places of those that none after them beats.
    kept: VecDeque<usize>,
    next: usize,
}

impl Extreme {
    fn within(&mut self, line: &[u8], from: usize, to: usize, beats: impl Fn(u8, u8) -> bool) -> u8 {
        while self.next <= to {
            while self.kept.back().is_some_and(|&last| beats(line[self.next], line[last])) {
                self.kept.pop_back();
            }
            self.kept.push_back(self.next);
            self.next += 1;
        }
        while self.kept.front().is_some_and(|&first| first < from) {
            self.kept.pop_front();
        }
        self.kept.front().map_or(0, |&first| line[first])
    }
}

/// Reads each symbol that begins in these runs; the odd ones are dark.
fn read_runs(runs: &[u32], found: &mut HashMap<String, u32>) {
    let mut at = 1;
    while at + SHORTEST < runs.len() {
        if begins(runs[at - 1], &runs[at..at + 6]) {
            let symbol = &runs[at..runs.len().min(at + LONGEST)];
            if let Some(text) = decoded(symbol) {
                *found.entry(text).or_default() += 1;
            }
        }
        at += 2;
    }
}

/// Whether this is a start character with light before it: half of its width at least, of the ten modules it should be.
fn begins(light: u32, start: &[u32]) -> bool {
    let total: u32 = start.iter().sum();
    let is_near = |(run, modules): (&u32, &u32)| (run * 11).abs_diff(modules * total) < total * 7 / 10;
    light * 2 >= total && STARTS.iter().any(|pattern| start.iter().zip(pattern).all(is_near))
}

fn decoded(runs: &[u32]) -> Option<String> {
    let start: u32 = runs[..6].iter().sum();
    // A run of more than ten modules ends the symbol, however long it is.
    let bits = |run: &u32| ((run * 11 * BITS + start / 2) / start).clamp(1, 16 * BITS) as usize;
    let quiet = 10 * BITS as usize;
    let mut row = BitArray::with_size(2 * quiet + runs.iter().map(bits).sum::<usize>());
    let mut place = quiet;
    for (at, run) in runs.iter().enumerate() {
        if at % 2 == 0 {
            // One by one: its own way of setting a range breaks at the end of a word.
            (place..place + bits(run)).for_each(|bit| row.set(bit));
        }
        place += bits(run);
    }
    // A decoder may stumble over bars; other lines go on.
    let decode = || Code128Reader.decode_row(0, &row, &DecodeHints::default()).ok();
    let result = catch_unwind(AssertUnwindSafe(decode)).ok().flatten()?;
    Some(result.getText().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn edges_lie_between_pixels() {
        let line = [200, 200, 200, 125, 50, 50, 50, 200, 200];
        // Middle 125: passed at the middle of pixel 3 and half way from 6 to 7.
        assert_eq!(runs(&line), [4 * PARTS - PARTS, 3 * PARTS + PARTS / 2, 2 * PARTS + PARTS / 2 + 1]);
    }

    #[test]
    fn a_plain_line_has_one_run() {
        assert_eq!(runs(&[]), [1]);
        assert_eq!(runs(&[90; 50]).len(), 1);
        assert_eq!(runs(&[9; 1]).len(), 1);
    }
}
