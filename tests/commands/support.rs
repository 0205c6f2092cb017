//! A temporary folder in which the real program runs, and what it must answer.
//!
//! Start with [`Desk`]. A run that says nothing else must end with code 0 and an empty standard error.

use std::{
    ffi::OsStr,
    io::{BufRead, BufReader, Write},
    path::{Path, PathBuf},
    process::{Child, ChildStdin, Command, Output, Stdio},
    sync::mpsc::{Receiver, channel},
    thread::spawn,
    time::Duration,
};

use rusqlite::{Connection, OpenFlags, types::Value as Cell};
use serde_json::Value;
use tempfile::TempDir;

/// The register's name in the folder.
pub const REGISTER: &str = "register.db";
/// Stands for the folder in expected texts.
const FOLDER: &str = "[folder]";

/// A folder of its own, with a home of its own.
pub struct Desk {
    root: PathBuf,
    _folder: TempDir,
}

impl Desk {
    /// Nothing is there yet.
    pub fn empty() -> Self {
        let folder = tempfile::Builder::new().prefix("desk-").tempdir().unwrap();
        // Elsewhere than on Windows the program may see the folder by another name than we made it under.
        let root = if cfg!(windows) { folder.path().to_owned() } else { folder.path().canonicalize().unwrap() };
        Self { root, _folder: folder }
    }

    /// A register with nothing in it but its currency.
    pub fn bare_register() -> Self {
        let desk = Self::empty();
        desk.run("set currency EUR").any_stderr().done();
        desk
    }

    /// Area 4 with the bins 4A, 4B, 4C, 4D and 4F.
    pub fn with_bins() -> Self {
        let desk = Self::empty();
        desk.run("area add 4 Loft").any_stderr().done();
        desk.run("bin add 4 --count 5 --spot 'rack 1, level 2'").done();
        desk
    }

    /// Those bins, and three items in 4A.
    pub fn with_items() -> Self {
        let desk = Self::with_bins();
        desk.run("item add 'Copper jam pan' --bin 4A --cost 3.50 --asking 24.95 --bought 2026-11-21").done();
        desk.run("item add 'Board game, 12 geese' --bin 4A").done();
        desk.run("item add 'Knitting pattern: bobble hat' --bin 4A --cost 0").done();
        desk
    }

    /// Those items, with their tags printed, so that they keep their codes when they move.
    pub fn with_tags() -> Self {
        let desk = Self::with_items();
        desk.run("tag --no-proof").done();
        desk
    }

    /// Puts a file into the folder.
    pub fn file(&self, name: &str, bytes: impl AsRef<[u8]>) -> &Self {
        std::fs::write(self.path(name), bytes).unwrap();
        self
    }

    /// The bytes of a file in the folder.
    pub fn read(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap_or_else(|fault| panic!("{name}: {fault}"))
    }

    /// A place in the folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// What lies in the folder but the register, its lock file and daily backups, and the home; side files of the register would show.
    pub fn files(&self) -> Vec<String> {
        let own = [REGISTER, "register.db.lock", "register.db-backups", "home"];
        names_in(&self.root).into_iter().filter(|name| !own.contains(&name.as_str())).collect()
    }

    /// A run on the folder's register; words are parted by spaces, and held together by `'`.
    pub fn run(&self, words: &str) -> Run<'_> {
        self.bare("").args(&["--register", REGISTER]).args(&split(words))
    }

    /// A run without `--register`.
    pub fn bare(&self, words: &str) -> Run<'_> {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stowmark"));
        command.current_dir(&self.root).env_remove("STOWMARK_REGISTER").args(split(words));
        command.env("HOME", self.path("home")).env("XDG_DATA_HOME", self.path("home/data"));
        Run {
            desk: self,
            command,
            stdin: Vec::new(),
            code: Some(0),
            stdout: Text::Any,
            stderr: Text::Is(String::new()),
        }
    }

    /// The JSON answer of a run that succeeds.
    #[track_caller]
    pub fn json(&self, words: &str) -> Value {
        self.bare("--json").args(&["--register", REGISTER]).args(&split(words)).done().json()
    }

    /// All rows of all tables: equal before and after a command that changes nothing.
    pub fn dump(&self) -> Vec<String> {
        dump(&self.path(REGISTER))
    }

    /// The register, open for questions.
    pub fn register(&self) -> Connection {
        connect(&self.path(REGISTER))
    }
}

/// Names in a folder, sorted.
pub fn names_in(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> =
        entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

/// Opened so that it can be asked only. With a read-only file handle the side files would be left behind.
fn connect(register: &Path) -> Connection {
    let connection = Connection::open_with_flags(register, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
    connection.pragma_update(None, "query_only", true).unwrap();
    connection
}

fn dump(register: &Path) -> Vec<String> {
    let connection = connect(register);
    let tables = strings(&connection, "SELECT name FROM pragma_table_list WHERE type = 'table' ORDER BY name");
    tables.iter().flat_map(|table| rows(&connection, table)).collect()
}

/// The first column of a query's answer.
pub fn strings(connection: &Connection, sql: &str) -> Vec<String> {
    let mut query = connection.prepare(sql).unwrap();
    query.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

/// The one number that a query gives.
pub fn number(connection: &Connection, sql: &str) -> i64 {
    connection.query_row(sql, [], |row| row.get(0)).unwrap()
}

fn rows(connection: &Connection, table: &str) -> Vec<String> {
    let mut query = connection.prepare(&format!("SELECT * FROM {table}")).unwrap();
    let columns = query.column_count();
    let rows = query.query_map([], |row| (0..columns).map(|at| row.get(at)).collect::<Result<Vec<Cell>, _>>());
    rows.unwrap().map(|row| format!("{table}: {:?}", row.unwrap())).collect()
}

/// Words parted by spaces, and held together by `'`.
fn split(words: &str) -> Vec<&str> {
    let parts = words.split('\'').enumerate();
    parts.flat_map(|(at, part)| if at % 2 == 1 { vec![part] } else { part.split_whitespace().collect() }).collect()
}

/// A text that is expected.
enum Text {
    Any,
    Is(String),
    Has(Vec<String>),
}

impl Text {
    #[track_caller]
    fn check(&self, told: &str, stream: &str, all: &str) {
        match self {
            Self::Any => {}
            Self::Is(expected) => assert_eq!(told, expected, "{stream} of {all}"),
            Self::Has(parts) => {
                for part in parts {
                    assert!(told.contains(part), "no `{part}` in {stream} of {all}");
                }
            }
        }
    }
}

/// One run of the program and what it must answer. [`Run::done`] runs and checks it.
#[must_use]
pub struct Run<'a> {
    desk: &'a Desk,
    command: Command,
    stdin: Vec<u8>,
    code: Option<i32>,
    stdout: Text,
    stderr: Text,
}

impl Run<'_> {
    /// More arguments.
    pub fn args(mut self, args: &[impl AsRef<OsStr>]) -> Self {
        self.command.args(args);
        self
    }

    /// A variable of the environment.
    pub fn env(mut self, name: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(name, value);
        self
    }

    /// What comes in on standard input.
    pub fn stdin(mut self, bytes: impl AsRef<[u8]>) -> Self {
        self.stdin = bytes.as_ref().to_vec();
        self
    }

    /// The exit code it must end with.
    pub fn code(mut self, code: i32) -> Self {
        self.code = Some(code);
        self
    }

    /// Any exit code.
    pub fn any_code(mut self) -> Self {
        self.code = None;
        self
    }

    /// All of standard output, with `[folder]` for the folder.
    pub fn stdout(mut self, text: &str) -> Self {
        self.stdout = Text::Is(text.to_owned());
        self
    }

    /// A part of standard output.
    pub fn stdout_has(mut self, part: &str) -> Self {
        self.stdout = Text::Has(vec![part.to_owned()]);
        self
    }

    /// All of standard error, with `[folder]` for the folder.
    pub fn stderr(mut self, text: &str) -> Self {
        self.stderr = Text::Is(text.to_owned());
        self
    }

    /// Parts of standard error.
    pub fn stderr_has(mut self, parts: &[&str]) -> Self {
        self.stderr = Text::Has(parts.iter().map(ToString::to_string).collect());
        self
    }

    /// Standard error may say anything.
    pub fn any_stderr(mut self) -> Self {
        self.stderr = Text::Any;
        self
    }

    /// A refusal: code 1, this on standard error behind `error: `, and nothing on standard output.
    pub fn refused(self, why: &str) -> Self {
        let told = format!("error: {why}\n");
        self.code(1).stdout("").stderr(&told)
    }

    /// A refusal whose reason has these parts.
    pub fn refused_with(self, parts: &[&str]) -> Self {
        self.code(1).stdout("").stderr_has(parts)
    }

    /// Starts the program with pipes and leaves it to the caller.
    pub fn spawn(mut self) -> Child {
        let command = self.command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command.spawn().unwrap()
    }

    /// Starts the program, to talk with it line by line.
    pub fn talk(self) -> Talk {
        let mut child = self.spawn();
        let stdout = BufReader::new(child.stdout.take().unwrap());
        let (sender, answers) = channel();
        // Read by a thread, so that a missing answer fails the test instead of holding it up.
        spawn(move || stdout.lines().map_while(Result::ok).try_for_each(|line| sender.send(line)));
        Talk { input: child.stdin.take(), child, answers }
    }

    /// Runs the program and checks what it answers.
    #[track_caller]
    pub fn done(mut self) -> Answer {
        let (stdin, root) = (std::mem::take(&mut self.stdin), self.desk.root.display().to_string());
        let (code, stdout, stderr) = (self.code, std::mem::replace(&mut self.stdout, Text::Any), Text::Any);
        let stderr = std::mem::replace(&mut self.stderr, stderr);
        let answer = Answer::new(&feed(self.spawn(), &stdin), &root);
        let all = format!("exit {}\n{}{}", answer.code, answer.stdout, answer.stderr);
        assert!(code.is_none_or(|code| answer.code == code), "{all}");
        stderr.check(&answer.stderr, "standard error", &all);
        stdout.check(&answer.stdout, "standard output", &all);
        answer
    }
}

/// A session that is answered before it is asked again.
pub struct Talk {
    child: Child,
    input: Option<ChildStdin>,
    answers: Receiver<String>,
}

impl Talk {
    /// Sends bytes and gives the one line of answer to them.
    #[track_caller]
    pub fn say(&mut self, bytes: &str) -> Value {
        self.input.as_mut().unwrap().write_all(bytes.as_bytes()).unwrap();
        let answer = self.answers.recv_timeout(Duration::from_mins(1)).expect("an answer before the next line");
        serde_json::from_str(&answer).unwrap()
    }

    /// Ends the input; nothing more may be said.
    #[track_caller]
    pub fn end(mut self) {
        self.input = None;
        assert!(self.child.wait().unwrap().success());
        assert_eq!(self.answers.recv().ok(), None);
    }
}

/// A program that ends early need not read all of it.
pub fn feed(mut child: Child, stdin: &[u8]) -> Output {
    let _ = child.stdin.take().unwrap().write_all(stdin);
    child.wait_with_output().unwrap()
}

/// What a run answered.
pub struct Answer {
    pub code: i32,
    pub stdout: String,
    pub stderr: String,
}

impl Answer {
    fn new(output: &Output, root: &str) -> Self {
        let text = |bytes: &[u8]| tidy(&String::from_utf8_lossy(bytes), root);
        Self { code: output.status.code().unwrap_or(-1), stdout: text(&output.stdout), stderr: text(&output.stderr) }
    }

    /// Standard output as one JSON document and nothing else.
    #[track_caller]
    pub fn json(&self) -> Value {
        assert!(self.stdout.ends_with('\n') && self.stdout.lines().count() == 1, "{}", self.stdout);
        serde_json::from_str(&self.stdout).unwrap_or_else(|fault| panic!("{fault}: {}", self.stdout))
    }

    /// Standard output as JSON documents, one a line.
    #[track_caller]
    pub fn json_lines(&self) -> Vec<Value> {
        self.stdout.lines().map(|line| serde_json::from_str(line).unwrap()).collect()
    }
}

fn tidy(text: &str, root: &str) -> String {
    let text = text.replace(root, FOLDER);
    if cfg!(windows) { text.replace('\\', "/") } else { text }
}

/// Whether a program is here. Where it is not, says so; with `STOWMARK_NEED_TOOLS` it has to be.
pub fn needs(program: &str, argument: &str) -> bool {
    let is_here = Command::new(program).arg(argument).output().is_ok();
    if !is_here {
        assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "{program} is wanted");
        println!("skipped: no {program} here");
    }
    is_here
}

/// The codes of the items in an answer.
pub fn codes(answer: &Value, member: &str) -> Vec<String> {
    let items = answer[member].as_array().unwrap_or_else(|| panic!("no {member} in {answer}"));
    items.iter().map(|item| item["code"].as_str().unwrap().to_owned()).collect()
}
