//! Help, completions, manual pages, and where options may stand

use std::process::Command;

use super::support::{Desk, names_in};

/// The words of every command that does something, from the program's own definition.
fn commands(command: &clap::Command, words: &[String]) -> Vec<Vec<String>> {
    let inner = command.get_subcommands().flat_map(|inner| {
        let words: Vec<String> = words.iter().cloned().chain([inner.get_name().to_owned()]).collect();
        commands(inner, &words)
    });
    let inner: Vec<Vec<String>> = inner.collect();
    if inner.is_empty() { vec![words.to_vec()] } else { inner }
}

#[test]
fn every_command_has_help_with_an_example() {
    let desk = Desk::empty();
    let all = commands(&stowmark::cli::command(), &[]);
    assert!(all.len() > 15, "{all:?}");
    for words in all {
        let help = desk.bare("").args(&words).args(&["--help"]).done().stdout;
        let example = format!("\n  stowmark {}", words.join(" "));
        assert!(help.contains("Example:") && help.contains(&example), "{words:?}\n{help}");
    }
    assert_eq!(names_in(&desk.path("")), Vec::<String>::new());
}

/// The lines of all texts behind the options, of a command and those within it.
fn texts_behind(command: &clap::Command, found: &mut Vec<String>) {
    let text = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    found.extend(text.lines().map(str::to_owned));
    command.get_subcommands().for_each(|inner| texts_behind(inner, found));
}

/// Longer lines are broken once more, and leave a word or two alone on a line.
#[test]
fn no_line_of_help_is_longer_than_a_page_is_wide() {
    let mut lines = Vec::new();
    texts_behind(&stowmark::cli::command(), &mut lines);
    assert!(lines.len() > 200);
    let long: Vec<&String> = lines.iter().filter(|line| line.chars().count() > 100).collect();
    assert!(long.is_empty(), "{long:#?}");
}

#[test]
fn help_and_version_are_answers() {
    let desk = Desk::empty();
    assert!(desk.bare("--help").done().stdout.contains("A first quarter of an hour:"));
    desk.bare("--version").stdout(concat!("stowmark ", env!("CARGO_PKG_VERSION"), "\n")).done();
    assert!(desk.bare("help item import").done().stdout.contains("--skip-bad"));
}

#[test]
fn slips_of_usage_are_code_2() {
    let desk = Desk::empty();
    for words in ["", "tug", "area", "area add", "area add 4", "--colour area list", "item add --bin 4A"] {
        desk.bare(words).code(2).stdout("").any_stderr().done();
    }
    assert_eq!(names_in(&desk.path("")), Vec::<String>::new());
}

#[test]
fn completions_are_printed_for_every_shell() {
    let desk = Desk::empty();
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = desk.bare(&format!("completions {shell}")).done().stdout;
        assert!(script.contains("stowmark") && script.contains("skip-bad"), "{shell}");
        let json = desk.bare(&format!("--json completions {shell}")).done().json();
        assert_eq!(json["script"].as_str().unwrap().trim_end(), script.trim_end(), "{shell}");
    }
    desk.bare("completions abacus").code(2).stdout("").any_stderr().done();
}

#[test]
fn the_completions_for_bash_are_clean() {
    let desk = Desk::empty();
    let script = desk.bare("completions bash").done().stdout;
    desk.file("stowmark.bash", script);
    match Command::new("bash").arg("-n").arg(desk.path("stowmark.bash")).output() {
        Ok(read) => assert!(read.status.success() && read.stderr.is_empty(), "{read:?}"),
        Err(missing) => println!("skipped: no bash here ({missing})"),
    }
}

#[test]
fn manual_pages_are_printed() {
    let desk = Desk::empty();
    let cases = [("man", "stowmark"), ("man item import", "skip\\-bad"), ("man put", "\\-\\-in")];
    for (words, part) in cases {
        let page = desk.bare(words).done().stdout;
        assert!(page.contains(".TH ") && page.contains(".SH NAME") && page.contains(part), "{words}");
        let json = desk.bare(&format!("--json {words}")).done().json();
        assert_eq!(json["page"].as_str().unwrap().trim_end(), page.trim_end(), "{words}");
    }
    desk.bare("man item imprt").refused("there is no command `item imprt`; `stowmark help` shows all").done();
}

#[test]
fn json_is_asked_for_before_or_behind_the_command() {
    let desk = Desk::with_items();
    for words in ["area list", "bin list", "bin show 4A", "item list", "sheet list", "set"] {
        let before = desk.run("--json").args(&words.split(' ').collect::<Vec<_>>()).done().json();
        assert_eq!(desk.run(words).args(&["--json"]).done().json(), before, "{words}");
    }
    let between = desk.run("bin --json list").done().json();
    assert_eq!(between, desk.json("bin list"));
}

/// The issue: errors go to standard error, with `--json` too.
#[test]
fn a_failure_says_nothing_on_standard_output() {
    let desk = Desk::with_items();
    for words in ["bin show 9Z", "area add 0 x", "put 9Z --in 4A", "item import no.csv --bin 4A", "tag --sheet x"] {
        let answer = desk.run(words).args(&["--json"]).code(1).stdout("").any_stderr().done();
        assert!(answer.stderr.starts_with("error: "), "{words}");
    }
}

#[test]
fn the_register_may_be_named_behind_the_command() {
    let desk = Desk::with_items();
    desk.bare("area list --register register.db").stdout("area  name\n   4  Loft\n").done();
}

/// Each command that the README shows is one that the program understands.
#[test]
fn the_readme_shows_commands_that_there_are() {
    let readme = include_str!("../../README.md");
    let in_blocks = readme.lines().filter(|line| line.starts_with("stowmark "));
    let in_text = readme.split('`').skip(1).step_by(2).filter(|span| span.starts_with("stowmark "));
    let shown: Vec<&str> = in_blocks.chain(in_text).filter(|line| !line.contains("SHELL")).collect();
    assert!(shown.len() >= 12, "{shown:?}");
    for line in shown {
        let parts = line.split('"').enumerate();
        let words: Vec<&str> = parts
            .flat_map(|(at, part)| if at % 2 == 1 { vec![part] } else { part.split_whitespace().collect() })
            .collect();
        let understood = stowmark::cli::command().try_get_matches_from(words);
        assert!(understood.is_ok(), "{line}: {}", understood.unwrap_err());
    }
}
