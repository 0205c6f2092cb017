//! Titles as a seller writes them: a few words of a trade, some of them very common, and now and then a rare one.

use fastrand::Rng;

/// Goods of one trade: words that say how, and words that say what.
struct Trade {
    share: usize,
    hows: &'static [&'static str],
    whats: &'static [&'static str],
}

/// Words that stand in titles of every trade, the commonest first.
const COMMON: [&str; 24] = [
    "vintage", "small", "large", "boxed", "pair", "red", "blue", "green", "white", "old", "rare", "complete", "set",
    "unused", "signed", "early", "round", "square", "painted", "mended", "lidded", "striped", "plain", "tiny",
];

const TRADES: [Trade; 3] = [
    Trade {
        share: 45,
        hows: &[
            "enamel",
            "copper",
            "stoneware",
            "cast-iron",
            "pressed-glass",
            "stainless",
            "pewter",
            "earthenware",
            "hand-painted",
            "porcelain",
            "aluminium",
            "wooden",
            "fireproof",
            "ribbed",
            "fluted",
            "pierced",
            "tinned",
            "crémeware",
            "hammered",
            "bakelite",
            "café",
            "gusseiserner",
            "Größe",
            "silver-plated",
            "melamine",
        ],
        whats: &[
            "pan",
            "kettle",
            "casserole",
            "jug",
            "cake tin",
            "teapot",
            "egg cups",
            "jam pan",
            "storage jar",
            "mixing bowl",
            "waffle iron",
            "coffee grinder",
            "colander",
            "gravy boat",
            "pie dish",
            "butter dish",
            "rolling pin",
            "scales",
            "ladle",
            "cafetière",
            "toast rack",
            "fish kettle",
            "jelly mould",
            "sugar tongs",
            "nutmeg grater",
            "preserving funnel",
            "pastry wheel",
            "potato ricer",
            "soup tureen",
            "salad spinner",
            "herb chopper",
            "skimmer",
        ],
    },
    Trade {
        share: 25,
        hows: &[
            "family",
            "travel",
            "wooden",
            "cooperative",
            "strategy",
            "magnetic",
            "party",
            "deluxe",
            "junior",
            "two-player",
            "historical",
            "railway",
            "farming",
            "detective",
            "trading",
            "word",
            "quiz",
            "memory",
            "seafaring",
            "castle",
        ],
        whats: &[
            "board game",
            "card game",
            "puzzle",
            "dice game",
            "dominoes",
            "chess set",
            "jigsaw 1000 pieces",
            "draughts",
            "backgammon",
            "bagatelle",
            "spinning top game",
            "marbles",
            "tile game",
            "game pieces",
            "expansion",
            "solitaire",
            "playing cards",
            "nine men board",
            "ludo board",
            "counters and dice",
            "bingo cards",
            "quartet cards",
        ],
    },
    Trade {
        share: 30,
        hows: &[
            "aran",
            "lace",
            "cabled",
            "fair-isle",
            "double",
            "chunky",
            "baby",
            "children's",
            "ladies",
            "men's",
            "raglan",
            "ribbed",
            "moss-stitch",
            "4-ply",
            "mohair",
            "cotton",
            "seamless",
            "top-down",
            "cropped",
            "sleeveless",
        ],
        whats: &[
            "cardigan knitting pattern",
            "jumper knitting pattern",
            "shawl pattern",
            "sock pattern",
            "mittens pattern",
            "bonnet pattern",
            "waistcoat knitting pattern",
            "pullover pattern",
            "blanket pattern",
            "tea cosy pattern",
            "scarf pattern",
            "bed jacket pattern",
            "pattern book",
            "toy knitting pattern",
            "gloves pattern",
            "twinset pattern",
        ],
    },
];

const SYLLABLES: [&str; 16] =
    ["bar", "den", "fal", "gor", "hul", "kes", "lom", "mar", "nev", "pol", "quin", "ros", "sted", "tor", "vin", "wick"];

/// Where a rank falls when each is about as common as one over its place says.
fn zipf(random: &mut Rng, count: usize) -> usize {
    let ranks = u32::try_from(count).expect("few words");
    let at = f64::from(ranks + 1).powf(random.f64()) - 1.0;
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and the count")]
    let at = at as usize;
    at.min(count - 1)
}

/// One of 4,096 invented names of makers, some far commoner than others.
fn maker(random: &mut Rng) -> String {
    let at = zipf(random, 4096);
    [at % 16, at / 16 % 16, at / 256].map(|at| SYLLABLES[at]).concat()
}

/// The next title.
pub fn title(random: &mut Rng) -> String {
    let mut share = random.usize(..100);
    let trade = TRADES.iter().find(|trade| {
        let found = share < trade.share;
        share = share.saturating_sub(trade.share);
        found
    });
    let Trade { hows, whats, .. } = trade.unwrap_or(&TRADES[0]);
    let mut words = vec![hows[zipf(random, hows.len())].to_owned(), whats[zipf(random, whats.len())].to_owned()];
    if random.u8(..10) < 6 {
        words.insert(0, COMMON[zipf(random, COMMON.len())].to_owned());
    }
    match random.u8(..10) {
        0..3 => words.push(maker(random)),
        3..5 => words.push(format!("no. {}", random.u32(1..2000))),
        5..6 => words.push(format!("{} cm", random.u32(8..60))),
        _ => {}
    }
    words.join(" ")
}
