//! Finding by code and by words.

use std::path::Path;

use fastrand::Rng;
use stowmark::{
    code::Origin,
    job::find,
    register::{Access, ItemId, Register},
};

use super::{
    figures::{at_most, median_of, mention, percentile, tell},
    program,
};

/// As many matches as `find` shows when nothing is said.
const LIMIT: usize = 50;

/// Words that are hard to find: very common beginnings, pairs that are common but never meet, and what is not there.
const HARD: [&str; 24] = [
    "p",
    "s",
    "k",
    "c",
    "pa",
    "pan",
    "pat",
    "pattern",
    "knitting pattern",
    "game",
    "vintage",
    "vintage pattern",
    "p v",
    "p k",
    "small p",
    "pan game",
    "pattern kettle",
    "game pattern",
    "enamel puzzle",
    "jig ketl",
    "xylophone",
    "zz",
    "große pan",
    "quinwickvin",
];

pub fn print(path: &Path, items: u32) {
    let register = Register::open(path, Access::Existing).expect("a register");
    let mut random = Rng::with_seed(7);
    let names: Vec<String> = (0..400).map(|_| item(&register, &mut random, items).0).collect();
    by_code(&register, &names);
    near_codes(&register, &names);
    by_words(&register, &mut random, items);
    register.close().expect("it closes");
    let whole = median_of(41, || program(path, &["find", &names[0]]));
    at_most("find by code, whole process, median", whole, 15.0);
    mention("find by words, whole process, median", median_of(11, || program(path, &["find", "vintage", "pan"])), "ms");
}

/// The name and title of any item.
fn item(register: &Register, random: &mut Rng, items: u32) -> (String, String) {
    let id = ItemId::parse(&format!("#{}", random.u32(1..=items))).expect("a number");
    let item = register.item(id).expect("it reads").expect("it is there");
    (item.name(), item.title)
}

fn ask(register: &Register, text: &str) -> usize {
    find(register, text, Origin::Typed, LIMIT).expect("it reads").matches.len()
}

fn by_code(register: &Register, names: &[String]) {
    let mut times: Vec<f64> = names.iter().map(|name| median_of(1, || assert_eq!(ask(register, name), 1))).collect();
    at_most("find by code, inside, 99th of a hundred", percentile(&mut times, 99), 1.0);
    mention("find by code, inside, median", percentile(&mut times, 50), "ms");
}

/// A wrong check letter makes it ask for each of the hundreds of codes that are one slip away.
fn near_codes(register: &Register, names: &[String]) {
    let wrong = |name: &String| format!("{}{}", &name[..name.len() - 1], if name.ends_with('A') { 'B' } else { 'A' });
    let mut times: Vec<f64> = names.iter().map(wrong).map(|name| median_of(1, || ask(register, &name))).collect();
    mention("near codes of a wrong one, 99th of a hundred", percentile(&mut times, 99), "ms");
}

fn by_words(register: &Register, random: &mut Rng, items: u32) {
    let own = (0..376).map(|_| query(&item(register, random, items).1, random));
    let queries: Vec<String> = HARD.iter().map(|&text| text.to_owned()).chain(own).collect();
    let mut answered: Vec<(f64, &str)> =
        queries.iter().map(|text| (median_of(3, || ask(register, text)), text.as_str())).collect();
    let mut times: Vec<f64> = answered.iter().map(|(time, _)| *time).collect();
    let (middle, most) = (percentile(&mut times, 50), percentile(&mut times, 99));
    tell("find by words, 400 questions, 99th of a hundred", most, "ms", "at most 20 ms", most <= 20.0);
    mention("find by words, median", middle, "ms");
    answered.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (time, text) in &answered[..8] {
        println!("    slowest: {time:8.3} ms  {} matches shown for `{text}`", ask(register, text));
    }
}

/// What somebody types who wants to see an item: one to three words of its title or their beginnings.
fn query(title: &str, random: &mut Rng) -> String {
    let mut words: Vec<&str> = title.split(' ').collect();
    random.shuffle(&mut words);
    words.truncate(random.usize(1..=3));
    let cut = |word: &&str| {
        let length = word.chars().count();
        let kept = if random.bool() { length } else { random.usize(1..=length) };
        word.chars().take(kept).collect::<String>()
    };
    words.iter().map(cut).collect::<Vec<_>>().join(" ")
}
