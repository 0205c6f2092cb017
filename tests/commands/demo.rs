//! `demo`

use serde_json::Value;

use super::support::{Desk, names_in};

/// What every demo leaves.
const LEFT: [&str; 8] = [
    "buys-semicolon.csv",
    "buys.csv",
    "register.db",
    "register.db.lock",
    "signs.1.png",
    "signs.pdf",
    "tags.1.png",
    "tags.pdf",
];

#[test]
fn the_whole_road_is_walked_in_a_folder_of_its_own() {
    let desk = Desk::empty();
    let told = desk.bare("demo").done().stdout;
    assert_eq!(names_in(&desk.path("")), ["stowmark-demo"]);
    assert_eq!(names_in(&desk.path("stowmark-demo")), LEFT);
    assert!(told.contains("signs.pdf drawn at 300 dpi and read back: 8 of 8 symbols say what they should."));
    assert!(told.contains("tags.pdf drawn at 300 dpi and read back: 31 of 31 symbols say what they should."));
    let scans: Vec<&str> = told.lines().filter(|line| line.starts_with("4A-001F  Copper jam pan")).collect();
    assert!(scans[1].ends_with("in 4A, Loft, rack 1, level 2"), "{scans:?}");
    assert!(scans[2].ends_with("in 12B, Spare room, stack by the window (its code names 4A)"), "{scans:?}");
}

#[test]
fn it_runs_again_where_it_ran_and_in_the_next_folder() {
    let desk = Desk::empty();
    let first = desk.bare("demo").done().stdout;
    desk.bare("demo stowmark-demo").refused_with(&["`stowmark-demo` is not empty", "--force"]).done();
    assert_eq!(desk.bare("demo stowmark-demo --force").done().stdout, first);
    assert_eq!(desk.bare("demo").done().stdout, first.replace("stowmark-demo", "stowmark-demo-2"));
    assert_eq!(names_in(&desk.path("")), ["stowmark-demo", "stowmark-demo-2"]);
    assert_eq!(names_in(&desk.path("stowmark-demo")), LEFT);
}

#[test]
fn json_is_one_document() {
    let desk = Desk::empty();
    let answer = desk.bare("--json demo here").done().json();
    assert_eq!(answer["folder"], "here");
    let steps = answer["steps"].as_array().unwrap();
    let reads: Vec<&Value> = steps.iter().filter(|step| step.get("read_back").is_some()).collect();
    assert!(reads.len() == 2 && reads.iter().all(|read| read["wrong"] == 0), "{reads:?}");
    let commands = steps.iter().filter(|step| step["command"].is_string());
    assert!(commands.clone().count() > 10 && commands.into_iter().all(|step| step["output"].is_object()));
}

#[test]
fn a_folder_with_other_files_is_refused_and_left_alone() {
    for names in [vec!["recipe.txt"], vec!["recipe.txt", "buys.csv", "tags.pdf"]] {
        let desk = Desk::empty();
        std::fs::create_dir(desk.path("mine")).unwrap();
        for name in &names {
            desk.file(&format!("mine/{name}"), "mine");
        }
        for words in ["demo mine", "demo mine --force"] {
            desk.bare(words).refused_with(&["`mine`", "name a new folder"]).done();
        }
        for name in &names {
            assert_eq!(desk.read(&format!("mine/{name}")), b"mine");
        }
        assert_eq!(names_in(&desk.path("mine")).len(), names.len());
    }
}

/// `register.db` is also the name that the program gives the user's own register.
#[test]
fn a_register_of_the_users_own_is_never_replaced() {
    let desk = Desk::empty();
    std::fs::create_dir(desk.path("data")).unwrap();
    desk.bare("--register data/register.db area add 7 Cellar").any_stderr().done();
    desk.bare("demo data --force").code(1).any_stderr().done();
    desk.bare("--register data/register.db area list").stdout("area  name\n   7  Cellar\n").done();
}

/// Files of the user's that only begin like those of the demo, alone and among them.
#[test]
fn files_with_names_like_the_demos_are_never_removed() {
    let desk = Desk::empty();
    std::fs::create_dir(desk.path("mine")).unwrap();
    desk.bare("demo filled").done();
    for name in ["mine/signs-0001.pdf", "mine/buys.csv", "filled/tags for the fair.pdf", "filled/register.backup"] {
        let folder = name.split('/').next().unwrap();
        desk.file(name, "mine").bare(&format!("demo {folder} --force")).code(1).stdout("").any_stderr().done();
        assert_eq!(desk.read(name), b"mine");
    }
}

#[test]
fn the_own_register_is_not_touched() {
    let desk = Desk::with_items();
    let before = desk.dump();
    desk.run("demo").done();
    assert_eq!(desk.dump(), before);
}

#[test]
fn a_file_is_no_folder() {
    let desk = Desk::empty();
    desk.file("notes.txt", "notes").bare("demo notes.txt").code(1).stdout("").any_stderr().done();
    assert_eq!(desk.read("notes.txt"), b"notes");
}

/// Each step that the demo shows is typed into a shell, in the folder and with the files that it left.
#[cfg(unix)]
#[test]
fn the_steps_run_as_typed() {
    for folder in ["stowmark-demo", "my demo"] {
        let desk = Desk::empty();
        let told = desk.bare("demo").args(&[folder]).done().stdout;
        for name in ["register.db", "register.db.lock", "signs.pdf", "tags.pdf"] {
            std::fs::remove_file(desk.path(folder).join(name)).unwrap();
        }
        let steps: Vec<&str> = told.lines().filter_map(|line| line.strip_prefix("$ ")).collect();
        assert!(steps.len() > 10, "{steps:?}");
        for step in steps {
            type_in(&desk, step);
        }
        // Typed commands make the day's backup, which the demo does without.
        std::fs::remove_dir_all(desk.path(folder).join("register.db-backups")).unwrap();
        assert_eq!(names_in(&desk.path(folder)), LEFT);
    }
}

#[cfg(unix)]
fn type_in(desk: &Desk, step: &str) {
    let program = std::path::Path::new(env!("CARGO_BIN_EXE_stowmark")).parent().unwrap().to_owned();
    let inherited = std::env::var_os("PATH").unwrap_or_default();
    let path = std::env::join_paths([program].into_iter().chain(std::env::split_paths(&inherited))).unwrap();
    let mut shell = std::process::Command::new("sh");
    shell.args(["-c", step]).current_dir(desk.path("")).env("PATH", path).env_remove("STOWMARK_REGISTER");
    let output = shell.output().unwrap();
    assert!(output.status.success(), "{step}\n{}", String::from_utf8_lossy(&output.stderr));
}
