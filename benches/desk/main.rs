//! The load of a desk: 50 clients that scan at once for a minute, over connections that stay open, to this computer alone.
//!
//! Each client is a paired device with a session of its own and scans as fast as it is answered, which no hand can. All
//! scans that were answered as stowed are looked for in the register afterwards. Beside it: the bare sync of the same
//! disk. `STOWMARK_LOAD=CLIENTS,SECONDS,PAUSE` takes other numbers, the pause of a client between scans in milliseconds.

use std::{
    fs::{self, File},
    io::Write,
    path::{Path, PathBuf},
    thread,
    time::{Duration, Instant},
};

mod client;
mod desk;
mod stock;

use client::{Client, Tally};
use desk::Desk;

/// Lies between any two figures, as the disk of a shared machine is faster at one time than at another.
const SYNCS: usize = 500;
/// The most that the 99th percentile may be, in milliseconds.
const LIMIT: f64 = 50.0;

fn main() {
    let (clients, seconds, pause) = asked();
    let path = register();
    let codes = stock::fill(&path, clients);
    stock::pair(&path, clients);
    println!("a desk with {} bins and {} items; {clients} clients, {seconds} s", stock::BINS, stock::items(clients));
    tell_syncs("sync of an append of 4 KiB before", &path);
    let desk = Desk::start(&path);
    let end = Instant::now() + Duration::from_secs(seconds);
    let tallies = scan(&desk, &codes, end, Duration::from_millis(pause));
    desk.end();
    tell(&tallies, seconds);
    tell_syncs("sync of an append of 4 KiB after", &path);
    let lost = stock::lost(&path, &tallies);
    println!("  {:<40} {lost:>10}    none  {}", "lost or doubled scans", verdict(lost == 0));
    let folder = path.parent().expect("a folder");
    fs::remove_dir_all(folder).expect("our own folder");
}

fn asked() -> (usize, u64, u64) {
    let asked = std::env::var("STOWMARK_LOAD").unwrap_or_else(|_| "50,60,0".into());
    let numbers: Vec<u64> = asked.split(',').map(|number| number.trim().parse().expect("three numbers")).collect();
    let [clients, seconds, pause] = numbers[..] else { panic!("three numbers") };
    (usize::try_from(clients).expect("few clients"), seconds, pause)
}

fn register() -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("load");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("a folder");
    folder.join("register.db")
}

fn scan(desk: &Desk, codes: &[stock::Share], end: Instant, pause: Duration) -> Vec<Tally> {
    thread::scope(|scope| {
        let run = |(number, share)| {
            let client = Client::new(desk.port, number, share);
            scope.spawn(move || client.run(end, pause))
        };
        let running: Vec<_> = codes.iter().enumerate().map(run).collect();
        running.into_iter().map(|one| one.join().expect("a client that ends")).collect()
    })
}

fn tell(tallies: &[Tally], seconds: u64) {
    let mut times: Vec<f64> = tallies.iter().flat_map(|tally| tally.times.iter().copied()).collect();
    let (errors, scans) = (tallies.iter().map(|tally| tally.errors.len()).sum::<usize>(), times.len());
    tallies.iter().flat_map(|tally| &tally.errors).take(5).for_each(|error| println!("  error: {error}"));
    #[expect(clippy::cast_precision_loss, reason = "a small number")]
    let rate = scans as f64 / seconds as f64;
    println!("  {:<40} {scans:>10}    ({rate:.0} a second)", "scans answered");
    println!("  {:<40} {errors:>10}    none  {}", "errors", verdict(errors == 0));
    for (name, share) in [("median", 50.0), ("95th percentile", 95.0)] {
        println!("  {name:<40} {:>10.2} ms", percentile(&mut times, share));
    }
    let p99 = percentile(&mut times, 99.0);
    println!("  {:<40} {p99:>10.2} ms at most {LIMIT} ms  {}", "99th percentile", verdict(p99 <= LIMIT));
    println!("  {:<40} {:>10.2} ms", "the slowest", percentile(&mut times, 100.0));
}

fn tell_syncs(what: &str, register: &Path) {
    let path = register.with_extension("appended");
    let mut file = File::create(&path).expect("a file");
    let mut times: Vec<f64> = (0..SYNCS)
        .map(|_| {
            let begin = Instant::now();
            file.write_all(&[7; 4096]).expect("it is written");
            file.sync_data().expect("it is synced");
            begin.elapsed().as_secs_f64() * 1000.0
        })
        .collect();
    fs::remove_file(path).expect("our own file");
    let (middle, most) = (percentile(&mut times, 50.0), percentile(&mut times, 99.0));
    println!("  {what:<40} {middle:>10.2} ms median, {most:.2} ms 99th percentile");
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a small number"
)]
fn percentile(times: &mut [f64], of_a_hundred: f64) -> f64 {
    times.sort_by(f64::total_cmp);
    let at = (times.len() as f64 * of_a_hundred / 100.0).ceil() as usize;
    times.get(at.clamp(1, times.len().max(1)) - 1).copied().unwrap_or(f64::NAN)
}

fn verdict(is_within: bool) -> &'static str {
    if is_within { "within" } else { "BEYOND" }
}
