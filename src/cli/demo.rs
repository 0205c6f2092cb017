//! `stowmark demo`

use std::{
    ffi::OsString,
    path::{Path, PathBuf},
};

use serde_json::{Value, json};

use super::{
    Io,
    outcome::{CliError, Outcome},
    run as run_command,
    session::Session,
};
use crate::{
    job::{open, read_back_run},
    output::{page_count, rasterise},
    register::{Access, RecordedRun, Register},
    unit::Dpi,
};

#[derive(Debug, clap::Args)]
#[command(after_help = "Sets up areas and bins, imports two buy lists, prints signs and tags, reads them back from the
PDFs, scans, moves an item and scans again. Each step is shown as the command that you would type.
Your own register is not touched.

Example:
  stowmark demo
  stowmark demo try-out --force")]
pub(super) struct DemoArgs {
    /// A new or empty folder; else the first free one of stowmark-demo, stowmark-demo-2 and so on
    dir: Option<PathBuf>,
    /// Run it again in a folder that an earlier demo filled
    #[arg(long)]
    force: bool,
}

/// The folder when none is named.
const FOLDER: &str = "stowmark-demo";
/// What a demo leaves in its folder beside [`SAMPLES`] and the pictures of its pages.
const OWN_FILES: [&str; 6] =
    ["register.db", "register.db-wal", "register.db-shm", "register.db.lock", "tags.pdf", "signs.pdf"];
const SAMPLES: [(&str, &[u8]); 2] = [
    ("buys.csv", include_bytes!("../../samples/buys.csv")),
    ("buys-semicolon.csv", include_bytes!("../../samples/buys-semicolon.csv")),
];

pub(super) fn run(args: &DemoArgs, session: &mut Session<'_, '_>) -> Result<Outcome, CliError> {
    let dir = args.dir.clone().unwrap_or_else(|| if args.force { FOLDER.into() } else { first_free() });
    clear(&dir, args.force)?;
    for (name, bytes) in SAMPLES {
        let file = dir.join(name);
        std::fs::write(&file, bytes).map_err(at(&file))?;
    }
    let mut demo = Demo { register: dir.join("register.db"), json: session.json(), steps: Vec::new() };
    walk(&mut demo, &dir, session)?;
    session.answer(&json!({ "folder": dir.display().to_string(), "steps": demo.steps }), || {
        format!("The signs and tags lie in {}; try `stowmark --help` next.", dir.display())
    })?;
    Ok(Outcome::Done)
}

fn walk(demo: &mut Demo, dir: &Path, session: &mut Session<'_, '_>) -> Result<(), CliError> {
    let file = |name: &str| dir.join(name).display().to_string();
    demo.step(session, "Where things are: two areas and their tubs.", None, &["area", "add", "4", "Loft"])?;
    demo.step(session, "", None, &["area", "add", "12", "Spare room"])?;
    demo.step(session, "", None, &["bin", "add", "4", "--count", "5", "--spot", "rack 1, level 2"])?;
    demo.step(session, "", None, &["bin", "add", "12", "--count", "3", "--spot", "stack by the window"])?;
    demo.step(
        session,
        "Two buy lists, as spreadsheets export them.",
        None,
        &["item", "import", &file("buys.csv"), "--bin", "4A"],
    )?;
    demo.step(session, "", None, &["item", "import", &file("buys-semicolon.csv"), "--bin", "12A"])?;
    let one = ["item", "add", "Butter dish, pressed glass", "--bin", "4B", "--cost", "1.50", "--asking", "14.00"];
    demo.step(session, "And one item by hand.", None, &one)?;
    demo.step(
        session,
        "Signs for the new tubs, tags for the new items.",
        None,
        &["sign", "--out", &file("signs.pdf")],
    )?;
    demo.step(session, "", None, &["tag", "--out", &file("tags.pdf")])?;
    demo.read_back(session)?;
    demo.step(session, "A reader scans a tag.", Some("4A001F"), &["scan"])?;
    demo.step(session, "The item is moved, its tag stays.", None, &["put", "4A-001F", "--in", "12B"])?;
    demo.step(session, "The same tag finds the new place.", Some("4A001F"), &["scan"])?;
    demo.step(session, "A few words do as well.", None, &["find", "jam", "pan"])
}

struct Demo {
    register: PathBuf,
    json: bool,
    steps: Vec<Value>,
}

impl Demo {
    /// Runs one command as it is shown.
    fn step(
        &mut self,
        session: &mut Session<'_, '_>,
        title: &str,
        scanned: Option<&str>,
        words: &[&str],
    ) -> Result<(), CliError> {
        let command = self.shown(scanned, words);
        let input = scanned.map(|text| format!("{text}\n")).unwrap_or_default();
        let (mut out, mut err) = (Vec::new(), Vec::new());
        let code =
            run_command(self.arguments(words), &mut Io::of(input.as_bytes(), &mut out, &mut err).without_backups());
        let (out, err) = (String::from_utf8_lossy(&out).into_owned(), String::from_utf8_lossy(&err).into_owned());
        let heading = if title.is_empty() { String::new() } else { format!("# {title}\n") };
        session.say(&format!("{heading}$ {command}\n{err}{out}"))?;
        self.steps
            .push(json!({ "command": command, "output": serde_json::from_str::<Value>(&out).unwrap_or_default() }));
        if code == 0 { Ok(()) } else { Err(CliError::DemoStep(command)) }
    }

    fn arguments(&self, words: &[&str]) -> Vec<OsString> {
        let json = self.json.then(|| OsString::from("--json"));
        let start = ["stowmark".into(), "--register".into(), self.register.clone().into_os_string()];
        start.into_iter().chain(json).chain(words.iter().map(OsString::from)).collect()
    }

    fn shown(&self, scanned: Option<&str>, words: &[&str]) -> String {
        let quoted = |word: &&str| if word.contains([' ', ',']) { format!("\"{word}\"") } else { (*word).to_owned() };
        let pipe = scanned.map(|text| format!("echo {text} | ")).unwrap_or_default();
        let register = self.register.display().to_string();
        let words: Vec<String> = words.iter().map(quoted).collect();
        format!("{pipe}stowmark --register {} {}", quoted(&register.as_str()), words.join(" "))
    }

    /// Reads the printed files back and leaves pictures of their pages beside them.
    fn read_back(&mut self, session: &mut Session<'_, '_>) -> Result<(), CliError> {
        let register = open(&self.register, Access::Existing)?.register;
        for run in &register.runs()? {
            let (symbols, wrong) = prove(&register, run)?;
            let file = run.target.file_name().unwrap_or_default().to_string_lossy().into_owned();
            session.say(&format!(
                "# {file} drawn at 300 dpi and read back: {} of {symbols} symbols say what they should.\n",
                symbols - wrong
            ))?;
            self.steps.push(json!({ "read_back": file, "symbols": symbols, "wrong": wrong }));
            if wrong > 0 {
                return Err(CliError::DemoStep(format!("reading {file} back")));
            }
        }
        Ok(register.close()?)
    }
}

fn prove(register: &Register, run: &RecordedRun) -> Result<(usize, usize), CliError> {
    let report = read_back_run(register, run, Dpi::DEFAULT)?;
    let pdf = std::fs::read(&run.target).map_err(at(&run.target))?;
    for page in 1..=page_count(&pdf)? {
        let picture = rasterise(&pdf, page, Dpi::new(110.0)?, true)?.png()?;
        let file = run.target.with_extension(format!("{page}.png"));
        std::fs::write(&file, picture).map_err(at(&file))?;
    }
    Ok((report.symbols, report.faults.len()))
}

fn first_free() -> PathBuf {
    let name = |number: u32| if number == 1 { FOLDER.into() } else { format!("{FOLDER}-{number}") };
    let folders = (1..).map(|number| PathBuf::from(name(number)));
    folders.into_iter().find(|dir| !is_filled(dir)).unwrap_or_default()
}

fn is_filled(dir: &Path) -> bool {
    std::fs::read_dir(dir).map_or_else(|_| dir.exists(), |mut files| files.next().is_some())
}

/// Makes the folder, or removes what an earlier demo left in it; nothing else is ever removed.
fn clear(dir: &Path, force: bool) -> Result<(), CliError> {
    std::fs::create_dir_all(dir).map_err(at(dir))?;
    let files = std::fs::read_dir(dir).map_err(at(dir))?;
    let files: Vec<PathBuf> = files.map(|file| Ok(file?.path())).collect::<Result<_, _>>().map_err(at(dir))?;
    if !files.is_empty() && !force {
        return Err(CliError::DemoFolder(dir.to_owned()));
    }
    if !(files.is_empty() || has_samples(dir) && files.iter().all(|file| is_own(file))) {
        return Err(CliError::DemoForeign(dir.to_owned()));
    }
    files.iter().try_for_each(|file| std::fs::remove_file(file).map_err(at(file)))
}

/// Tells which file or folder a fault belongs to.
fn at(path: &Path) -> impl FnOnce(std::io::Error) -> CliError {
    let path = path.to_owned();
    move |source| CliError::DemoFile { path, source }
}

/// Only a demo puts exactly these lists beside its register; a user's own register has no such company.
fn has_samples(dir: &Path) -> bool {
    SAMPLES.iter().all(|(name, bytes)| std::fs::read(dir.join(name)).is_ok_and(|found| found == *bytes))
}

fn is_own(file: &Path) -> bool {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let listed = OWN_FILES.iter().chain(SAMPLES.iter().map(|(name, _)| name)).any(|own| *own == name);
    file.is_file() && (listed || is_page(&name))
}

/// `tags.1.png`
fn is_page(name: &str) -> bool {
    let number = ["tags.", "signs."]
        .iter()
        .find_map(|start| name.strip_prefix(start))
        .and_then(|rest| rest.strip_suffix(".png"));
    number.is_some_and(|number| !number.is_empty() && number.bytes().all(|byte| byte.is_ascii_digit()))
}
