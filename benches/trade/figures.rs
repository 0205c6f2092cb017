//! Times in milliseconds, and how they are told.

use std::{hint::black_box, time::Instant};

/// The milliseconds that some work takes.
pub fn milliseconds<T>(work: impl FnOnce() -> T) -> f64 {
    let start = Instant::now();
    black_box(work());
    start.elapsed().as_secs_f64() * 1000.0
}

/// The middle one of several measures of the same work.
pub fn median_of<T>(runs: usize, mut work: impl FnMut() -> T) -> f64 {
    percentile(&mut (0..runs).map(|_| milliseconds(&mut work)).collect::<Vec<_>>(), 50)
}

/// The time that so many of a hundred don't exceed.
pub fn percentile(times: &mut [f64], of_a_hundred: usize) -> f64 {
    times.sort_by(f64::total_cmp);
    times[(times.len() * of_a_hundred).div_ceil(100).clamp(1, times.len()) - 1]
}

/// A figure beside its limit.
pub fn tell(what: &str, figure: f64, unit: &str, limit: &str, is_within: bool) {
    println!("  {what:<44} {figure:>10.3} {unit:<3} {limit:<22} {}", if is_within { "within" } else { "BEYOND" });
}

/// A figure that has no limit.
pub fn mention(what: &str, figure: f64, unit: &str) {
    println!("  {what:<44} {figure:>10.3} {unit}");
}

/// A figure of milliseconds with the most that it may be.
pub fn at_most(what: &str, figure: f64, limit: f64) {
    tell(what, figure, "ms", &format!("at most {limit} ms"), figure <= limit);
}
