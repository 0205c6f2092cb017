//! Every code of a register, typed by a reader set up for a US keyboard into computers with other layouts: each is
//! found, or refused, and never taken for another one.

use std::collections::BTreeSet;

use stowmark::{
    code::{AreaNumber, BinCode, Origin},
    job::find,
    register::{Found, NewBins, NewItem, Register, Title},
};

/// [C] from Debian's xkb-data 2.35.1 with libxkbcommon by `keyboards.py`, which lies beside it.
const KEYBOARDS: &str = include_str!("keyboards.tsv");

/// A computer's layout, with Caps Lock on or off: what it shows for each key that a reader presses.
struct Computer(Vec<(char, &'static str)>);

impl Computer {
    fn all() -> Vec<Self> {
        let mut lines = KEYBOARDS.lines().filter(|line| !line.starts_with('#')).map(|line| line.split('\t'));
        let sent: Vec<char> = lines.next().unwrap().skip(2).map(|key| key.parse().unwrap()).collect();
        lines.map(|line| Self(sent.iter().copied().zip(line.skip(2)).collect())).collect()
    }

    fn shows(&self, sent: &str) -> String {
        let key = |c: char| self.0.iter().find(|(key, _)| *key == c).unwrap().1;
        sent.chars().map(key).collect()
    }
}

/// A register with bins of all letters, one and two of them, in areas of one to three digits, and serials of three to
/// five; with the titles of a seller, since what is no code is looked for in them.
fn register() -> Register {
    let mut register = Register::in_memory().unwrap();
    for (number, bins) in [(1, 20), (4, 374), (12, 60), (97, 25), (105, 45), (999, 40)] {
        let area = AreaNumber::new(number).unwrap();
        register.add_area(area, "Loft").unwrap();
        let codes: Vec<BinCode> =
            register.add_bins(area, &NewBins::new(bins)).unwrap().iter().map(|bin| bin.code).collect();
        fill(&mut register, &codes, 2);
    }
    let codes = ["4C", "105AN"].map(|code| code.parse().unwrap());
    fill(&mut register, &codes[..1], 10_050);
    fill(&mut register, &codes[1..], 1_100);
    register
}

fn fill(register: &mut Register, bins: &[BinCode], each: usize) {
    const TITLES: [&str; 4] =
        ["Cafetière à piston", "4 egg cups, 12 cm", "Race game, M. & Q.", "Ribbed cardigan pattern"];
    let bins = bins.iter().flat_map(|bin| std::iter::repeat_n(*bin, each));
    let items = bins.zip(TITLES.into_iter().cycle());
    let item = |(bin, title)| NewItem { bin: Some(bin), ..NewItem::new(Title::new(title).unwrap()) };
    register.add_items(&items.map(item).collect::<Vec<_>>(), None).unwrap();
}

/// All bins and items by their code; of the fullest bins every nineteenth item.
fn issued(register: &Register) -> Vec<Found> {
    let mut found = Vec::new();
    for bin in register.bins(None).unwrap() {
        let items = register.items(&stowmark::register::ItemFilter::within(bin.code)).unwrap();
        let step = if items.len() > 2 { 19 } else { 1 };
        found.extend(items.into_iter().step_by(step).map(Found::Item));
        found.push(Found::Bin(bin));
    }
    found
}

/// What the symbol carries, and the same with the hyphen that people write.
fn forms(of: &Found) -> [String; 2] {
    match of {
        Found::Item(item) => [item.code.unwrap().payload(), item.name()],
        Found::Bin(bin) => {
            [bin.code.payload(), bin.code.payload().replacen(&bin.code.to_string(), &format!("{}-", bin.code), 1)]
        }
    }
}

#[test]
fn every_issued_code_is_found_or_refused_and_never_another_one() {
    let (register, computers) = (register(), Computer::all());
    assert_eq!(computers.len(), 2 * 21, "20 layouts, of the Swiss both");
    let (mut asked, mut refused) = (0, Vec::new());
    for thing in issued(&register) {
        for sent in forms(&thing) {
            // Many layouts show the same.
            let arrivals: BTreeSet<String> = computers.iter().map(|computer| computer.shows(&sent)).collect();
            for arrived in arrivals {
                let answer = find(&register, &arrived, Origin::Scanned, 10).unwrap();
                asked += 1;
                match answer.matches.as_slice() {
                    [] => refused.push((sent.clone(), arrived)),
                    [only] => assert_eq!(forms(only), forms(&thing), "{sent} arrives as `{arrived}`"),
                    many => panic!("{sent} arrives as `{arrived}`: {} matches", many.len()),
                }
            }
        }
    }
    println!("{asked} readings through {} computers, {} refused", computers.len(), refused.len());
    // To refuse is allowed, but there is no need to in a register of this size.
    assert_eq!(refused, []);
}
