//! Whether a label that hangs in the world still holds: what it said when it was printed beside what it would say now.
//!
//! Start with [`reasons`]. What a label says are members of a JSON object. One that a label did not say then, as labels
//! of an earlier version, is not compared; a day is no reason either. How a label looks beyond its words is not known
//! here.

use std::{
    collections::{BTreeMap, BTreeSet, HashMap},
    fmt,
};

use serde_json::Value;

/// Why a label is wrong now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// It shows another code.
    Code {
        /// The one on it.
        shown: String,
        /// The present one.
        now: String,
    },
    /// It has another title.
    Title,
    /// Another price is asked.
    Price,
    /// It was bought on another day.
    Bought,
    /// It cost something else.
    Cost,
    /// The area has another name, this one.
    Area(String),
    /// It stands elsewhere in the area; nowhere that is known without a name.
    Spot(Option<String>),
    /// The spot has another name, this one.
    SpotName(String),
    /// Other bins stand there.
    Bins {
        /// Those that the label shows and that stand elsewhere.
        left: Vec<String>,
        /// Those that it shows and that are retired.
        retired: Vec<String>,
        /// Those that it shows and whose entry was taken back.
        undone: Vec<String>,
        /// Those that it does not show.
        came: Vec<String>,
    },
    /// Other things are in the bin.
    Items {
        /// How many came since.
        came: usize,
        /// How many left since.
        left: usize,
        /// How many have another code.
        recoded: usize,
        /// How many have another title.
        retitled: usize,
    },
    /// Something else that it says changed: the name of it.
    Other(String),
}

impl fmt::Display for Reason {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Code { shown, now } => f.write_str(&code_text(shown, now)),
            Self::Title => f.write_str("title changed"),
            Self::Price => f.write_str("price changed"),
            Self::Bought => f.write_str("day of purchase changed"),
            Self::Cost => f.write_str("cost changed"),
            Self::Area(name) => write!(f, "area is called {name} now"),
            Self::Spot(Some(name)) => write!(f, "spot: stands at {name} now"),
            Self::Spot(None) => f.write_str("spot: has none now"),
            Self::SpotName(name) => write!(f, "spot is called {name} now"),
            Self::Bins { left, retired, undone, came } => f.write_str(&bins_text([left, retired, undone], came)),
            Self::Items { came, left, recoded, retitled } => {
                f.write_str(&items_text([*came, *left, *recoded, *retitled]))
            }
            Self::Other(name) => write!(f, "{} changed", name.replace('_', " ")),
        }
    }
}

impl Reason {
    /// Whether a bin's code tells of another area than the one on the label.
    fn is_other_area(&self) -> bool {
        let area = |code: &str| code.chars().take_while(char::is_ascii_digit).collect::<String>();
        matches!(self, Self::Code { shown, now } if area(shown) != area(now))
    }
}

fn code_text(shown: &str, now: &str) -> String {
    match (shown.split_once('-'), now.split_once('-')) {
        (Some((bin, _)), Some((other, _))) if bin != other => {
            format!("shows bin {bin}, the item has code {now} now")
        }
        (Some(_), _) => format!("shows {shown}, the item has code {now} now"),
        (None, _) => format!("shows {shown}, the bin is called {now} now"),
    }
}

fn bins_text(shown: [&[String]; 3], came: &[String]) -> String {
    let pick = |codes: &[String], [one, many]: [&'static str; 2]| if codes.len() == 1 { one } else { many };
    let stand = ["stands", "stand"];
    let why =
        [["stands elsewhere", "stand elsewhere"], ["is retired", "are retired"], ["was taken back", "were taken back"]];
    let shown = shown.into_iter().zip(why).filter(|(codes, _)| !codes.is_empty());
    let gone = shown.map(|(codes, why)| format!("shows {}, which {}", codes.join(", "), pick(codes, why)));
    let new = (!came.is_empty()).then(|| format!("{} {} there as well", came.join(", "), pick(came, stand)));
    gone.chain(new).collect::<Vec<_>>().join("; ")
}

/// `3 items came, 1 left since`
fn items_text([came, left, recoded, retitled]: [usize; 4]) -> String {
    let counts = [(came, "came"), (left, "left"), (recoded, "got another code"), (retitled, "got another title")];
    let mut parts: Vec<String> = Vec::new();
    for (count, what) in counts.into_iter().filter(|(count, _)| *count > 0) {
        let noun = if count == 1 { " item" } else { " items" };
        parts.push(format!("{count}{} {what}", if parts.is_empty() { noun } else { "" }));
    }
    format!("{} since", parts.join(", "))
}

/// Why a label that said one thing when it was printed is wrong now that it would say another; none where it holds.
#[must_use]
pub fn reasons(then: &Value, now: &Value) -> Vec<Reason> {
    let Some(members) = then.as_object() else { return Vec::new() };
    let is_list = members.contains_key("code");
    let mut found: Vec<(usize, Reason)> = Vec::new();
    for (name, before) in members {
        let after = now.get(name).unwrap_or(&Value::Null);
        let reason = match name.as_str() {
            // For information, or looked at together with the codes.
            "bin" | "date" | "titles" => None,
            "codes" if is_list => items(then, now),
            _ if before == after => None,
            "codes" => bins(before, after),
            name => Some(one(name, before, after, is_list)),
        };
        found.extend(reason.map(|reason| (rank(name), reason)));
    }
    // A bin that went to another area is in one of another name; no area was renamed.
    if found.iter().any(|(_, reason)| reason.is_other_area()) {
        found.retain(|(_, reason)| !matches!(reason, Reason::Area(_)));
    }
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, reason)| reason).collect()
}

/// The order in which reasons are told.
fn rank(name: &str) -> usize {
    const ORDER: [&str; 8] = ["code", "title", "asking", "bought", "cost", "area_name", "spot", "codes"];
    ORDER.iter().position(|known| *known == name).unwrap_or(ORDER.len())
}

fn one(name: &str, before: &Value, after: &Value, is_of_bin: bool) -> Reason {
    match name {
        "code" => Reason::Code { shown: text(before), now: text(after) },
        "title" => Reason::Title,
        "asking" => Reason::Price,
        "bought" => Reason::Bought,
        "cost" => Reason::Cost,
        "area_name" => Reason::Area(text(after)),
        "spot" if is_of_bin => Reason::Spot(after.as_str().map(str::to_owned)),
        "spot" => Reason::SpotName(text(after)),
        other => Reason::Other(other.to_owned()),
    }
}

fn text(value: &Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

fn texts(value: &Value) -> Vec<&str> {
    value.as_array().into_iter().flatten().filter_map(Value::as_str).collect()
}

/// The bins of a strip, in any order. What became of those that left is not known here.
fn bins(before: &Value, after: &Value) -> Option<Reason> {
    let (then, now): (BTreeSet<&str>, BTreeSet<&str>) =
        (texts(before).into_iter().collect(), texts(after).into_iter().collect());
    let names = |codes: &BTreeSet<&str>, but: &BTreeSet<&str>| -> Vec<String> {
        codes.difference(but).map(|code| (*code).to_owned()).collect()
    };
    let (left, came) = (names(&then, &now), names(&now, &then));
    (!left.is_empty() || !came.is_empty()).then(|| Reason::Bins { left, retired: Vec::new(), undone: Vec::new(), came })
}

/// The items of a list, in any order. One that left while one of the same title came is the same under another code.
fn items(then: &Value, now: &Value) -> Option<Reason> {
    let listed = |said: &Value| -> BTreeMap<String, Option<String>> {
        let titles = texts(&said["titles"]).into_iter().map(|title| Some(title.to_owned()));
        let titles = titles.chain(std::iter::repeat(None));
        texts(&said["codes"]).into_iter().map(str::to_owned).zip(titles).collect()
    };
    let (then, now) = (listed(then), listed(now));
    let is_retitled = |(code, title): &(&String, &Option<String>)| {
        title.is_some() && now.get(*code).is_some_and(|present| present != *title)
    };
    let retitled = then.iter().filter(is_retitled).count();
    let mut came: HashMap<&Option<String>, usize> = HashMap::new();
    for (_, title) in now.iter().filter(|(code, _)| !then.contains_key(*code)) {
        *came.entry(title).or_default() += 1;
    }
    let (mut left, mut recoded) = (0, 0);
    for (_, title) in then.iter().filter(|(code, _)| !now.contains_key(*code)) {
        match came.get_mut(title).filter(|count| **count > 0 && title.is_some()) {
            Some(count) => (*count, recoded) = (*count - 1, recoded + 1),
            None => left += 1,
        }
    }
    let came = came.values().sum();
    (came + left + recoded + retitled > 0).then_some(Reason::Items { came, left, recoded, retitled })
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    fn told(then: &Value, now: &Value) -> Vec<String> {
        reasons(then, now).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn what_did_not_change_is_no_reason() {
        let tag = json!({"code": "4A-001F", "bin": "4A", "title": "Pan", "asking": null});
        assert_eq!(told(&tag, &tag), [""; 0]);
        let then =
            json!({"code": "4A", "codes": ["4A-002C", "4A-001F"], "titles": ["Lid", "Pan"], "date": "2026-11-01"});
        let now =
            json!({"code": "4A", "codes": ["4A-001F", "4A-002C"], "titles": ["Pan", "Lid"], "date": "2026-12-01"});
        assert_eq!(told(&then, &now), [""; 0]);
    }

    #[test]
    fn what_an_earlier_version_did_not_keep_is_not_compared() {
        let now = json!({"code": "4A-001F", "title": "Pan", "asking": "3.50", "note": "mind the lid"});
        assert_eq!(told(&json!({"code": "4A-001F", "bin": "4B", "title": "Pan"}), &now), [""; 0]);
        assert_eq!(told(&json!({}), &now), [""; 0]);
        let now = json!({"code": "4A", "spot": "rack 2", "codes": ["4A-001F"], "titles": ["Pan"]});
        assert_eq!(told(&json!({"code": "4A", "codes": ["4A-001F"]}), &now), [""; 0]);
    }

    #[test]
    fn reasons_are_told_in_words() {
        let then = json!({"code": "4A-001F", "title": "Pan", "asking": "3.50", "bought": null, "cost": "1.00"});
        let now = json!({"code": "4B-003K", "title": "Pot", "asking": null, "bought": "2026-11-01", "cost": "2.00"});
        let all = [
            "shows bin 4A, the item has code 4B-003K now",
            "title changed",
            "price changed",
            "day of purchase changed",
            "cost changed",
        ];
        assert_eq!(told(&then, &now), all);
        let then = json!({"code": "4A", "area_name": "Loft", "spot": "rack 1"});
        let now = json!({"code": "7C", "area_name": "Attic", "spot": null});
        // No area was renamed when a bin went to another one.
        assert_eq!(told(&then, &now), ["shows 4A, the bin is called 7C now", "spot: has none now"]);
        let now = json!({"code": "4A", "area_name": "Attic", "spot": null});
        assert_eq!(told(&then, &now), ["area is called Attic now", "spot: has none now"]);
        let now = json!({"code": "4A", "area_name": "Loft", "spot": "rack 2"});
        assert_eq!(told(&then, &now), ["spot: stands at rack 2 now"]);
        let then = json!({"code": "4A-001F", "shape": "round"});
        assert_eq!(
            told(&then, &json!({"code": "4A-002C"})),
            ["shows 4A-001F, the item has code 4A-002C now", "shape changed"]
        );
    }

    #[test]
    fn strips_tell_which_bins_stand_elsewhere() {
        let strip = |spot: &str, codes: &[&str]| json!({"spot": spot, "area_name": "Loft", "codes": codes});
        let told = |now: Value| told(&strip("rack 1", &["4A", "4B", "4C"]), &now);
        assert_eq!(told(strip("rack 1", &["4C", "4A", "4B"])), [""; 0]);
        assert_eq!(told(strip("rack 1", &["4A", "4B"])), ["shows 4C, which stands elsewhere"]);
        let now = strip("shelf", &["4A", "4D", "4F"]);
        let all = ["spot is called shelf now", "shows 4B, 4C, which stand elsewhere; 4D, 4F stand there as well"];
        assert_eq!(told(now), all);
    }

    #[test]
    fn lists_count_what_came_and_left() {
        let list = |codes: &[&str], titles: &[&str]| json!({"code": "4A", "codes": codes, "titles": titles});
        let then = list(&["4A-001F", "4A-002C"], &["Pan", "Lid"]);
        let now = list(&["4A-001F", "4A-005X", "4A-006X", "4A-007X"], &["Pan", "Ladle", "Whisk", "Ladle"]);
        assert_eq!(told(&then, &now), ["3 items came, 1 left since"]);
        let now = list(&["4A-001F", "4A-009X"], &["Pot", "Lid"]);
        assert_eq!(told(&then, &now), ["1 item got another code, 1 got another title since"]);
        assert_eq!(told(&then, &list(&["4A-001F"], &["Pan"])), ["1 item left since"]);
        // A list of an earlier version has no titles.
        let old = json!({"code": "4A", "codes": ["4A-001F", "4A-002C"]});
        assert_eq!(told(&old, &list(&["4A-001F", "4A-009X"], &["Pot", "Lid"])), ["1 item came, 1 left since"]);
    }
}
