//! A desk over a register in a folder of its own, and clients that are paired with it.
//!
//! Start with [`Desk::empty`], [`Desk::with_bins`], [`Desk::with_items`] or [`Desk::demo`], then [`Desk::client`]. The desk
//! is the real program, ended with the [`Desk`]; commands run on the same register while it is open.
//!
//! ```ignore
//! let desk = Desk::with_items();
//! let client = desk.client();
//! assert!(client.get("/b/4A").has("Copper jam pan"));
//! let answer = client.post("/undo", &[("change", "7")]);      // not followed
//! assert_eq!((answer.status, answer.location()), (303, "/changes"));
//! let page = client.done("/undo", &[("change", "8")]);        // 303, and the page that it leads to; waits for works
//! ```

use std::{
    fs::File,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Child, ChildStdout, Command, Output, Stdio},
    sync::{
        LazyLock, Mutex, MutexGuard,
        atomic::{AtomicUsize, Ordering},
    },
    thread::sleep,
    time::Duration,
};

use rusqlite::{Connection, OpenFlags};
use serde_json::Value;
use stowmark::{
    output::sha256,
    register::{Access, Register},
};
use tempfile::TempDir;

pub use crate::client::{Answer, Client};

/// The register's name in the folder.
pub const REGISTER: &str = "register.db";
/// What the desk says on standard error.
const LOG: &str = "desk.log";
/// Devices that are paired before the desk is opened, as a phone can't be where there is no network.
const CLIENTS: usize = 4;
const BINS: &[&[&str]] =
    &[&["area", "add", "4", "Loft"], &["bin", "add", "4", "--count", "5", "--spot", "rack 1, level 2"]];
const ITEMS: &[&[&str]] = &[
    &["item", "add", "Copper jam pan", "--bin", "4A", "--cost", "3.50", "--asking", "24.95", "--bought", "2026-11-21"],
    &["item", "add", "Board game, 12 geese", "--bin", "4A"],
    &["item", "add", "Knitting pattern: bobble hat", "--bin", "4A", "--cost", "0"],
];

/// An open desk. It ends when this is dropped.
pub struct Desk {
    root: PathBuf,
    process: Mutex<Process>,
    clients: AtomicUsize,
    _folder: TempDir,
}

/// The running program, and what it said first.
struct Process {
    child: Child,
    /// As `http://127.0.0.1:40123`.
    address: String,
    link: String,
    log: PathBuf,
    _stdout: BufReader<ChildStdout>,
}

impl Desk {
    /// Over a register that was never there before.
    pub fn fresh() -> Self {
        Self::open(new_folder(), false)
    }

    /// Over a register with its currency and nothing else.
    pub fn empty() -> Self {
        Self::over(&[&["set", "currency", "EUR"]])
    }

    /// Area 4 with the bins 4A, 4B, 4C, 4D and 4F.
    pub fn with_bins() -> Self {
        Self::over(BINS)
    }

    /// Those bins, and three items in 4A: 4A-001F, a copper jam pan, and two more.
    pub fn with_items() -> Self {
        Self::over(&[BINS, ITEMS].concat())
    }

    /// What `stowmark demo` makes; that takes its time, so it is made once.
    pub fn demo() -> Self {
        static DEMO: LazyLock<TempDir> = LazyLock::new(|| {
            let folder = tempfile::tempdir().unwrap();
            succeed(folder.path(), &["demo"]);
            folder
        });
        let folder = new_folder();
        std::fs::copy(DEMO.path().join("stowmark-demo").join(REGISTER), folder.path().join(REGISTER)).unwrap();
        Self::open(folder, true)
    }

    /// Over a register that these commands have made.
    pub fn over(commands: &[&[&str]]) -> Self {
        let folder = new_folder();
        for words in commands {
            succeed(folder.path(), words);
        }
        Self::open(folder, true)
    }

    fn open(folder: TempDir, pairs: bool) -> Self {
        let root = folder.path().to_owned();
        if pairs {
            pair_clients(&root.join(REGISTER));
        }
        let process = Mutex::new(Process::start(&root));
        Self { root, process, clients: AtomicUsize::new(0), _folder: folder }
    }

    /// Runs a command on the same register; it has to succeed. Gives its standard output.
    #[track_caller]
    pub fn run(&self, words: &[&str]) -> String {
        succeed(&self.root, words)
    }

    /// The JSON answer of a command that succeeds.
    #[track_caller]
    pub fn json(&self, words: &[&str]) -> Value {
        serde_json::from_str(&self.run(&[&["--json"], words].concat())).unwrap()
    }

    /// Its address without the last `/`.
    pub fn address(&self) -> String {
        self.process().address.clone()
    }

    /// Its host and port, as clients connect to it and call it.
    pub fn host(&self) -> String {
        self.process().address.trim_start_matches("http://").into()
    }

    /// The link that the program wrote; it pairs one browser.
    pub fn link(&self) -> String {
        self.process().link.clone()
    }

    /// A client of a paired device, each time another one; there are four.
    #[track_caller]
    pub fn client(&self) -> Client {
        self.paired(false)
    }

    /// A client of a device that may look and change nothing; these count with the others.
    #[track_caller]
    pub fn looker(&self) -> Client {
        self.paired(true)
    }

    #[track_caller]
    fn paired(&self, looks_only: bool) -> Client {
        let number = self.clients.fetch_add(1, Ordering::Relaxed);
        assert!(number < CLIENTS, "no more than {CLIENTS} clients");
        self.stranger().with_cookie(&secret(number, looks_only))
    }

    /// A client that is not paired.
    pub fn stranger(&self) -> Client {
        Client::new(&self.address())
    }

    /// A place in its folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.root.join(name)
    }

    /// The register, open for questions.
    pub fn register(&self) -> Connection {
        let register = self.path(REGISTER);
        let connection = Connection::open_with_flags(register, OpenFlags::SQLITE_OPEN_READ_WRITE).unwrap();
        connection.pragma_update(None, "query_only", true).unwrap();
        connection
    }

    /// The one number that a query gives.
    pub fn number(&self, sql: &str) -> i64 {
        self.register().query_row(sql, [], |row| row.get(0)).unwrap()
    }

    /// All rows of all tables but the devices: equal before and after what changes nothing.
    pub fn dump(&self) -> Vec<String> {
        let register = self.register();
        let sql = "SELECT name FROM pragma_table_list WHERE type = 'table' AND name <> 'device' ORDER BY name";
        let mut query = register.prepare(sql).unwrap();
        let tables = query.query_map([], |row| row.get::<_, String>(0)).unwrap().map(Result::unwrap);
        tables.flat_map(|table| rows(&register, &table)).collect()
    }

    /// Kills the program as a power cut would, and opens the desk anew; its address is another one then, its clients
    /// have to be made anew by [`Client::at`].
    pub fn kill_and_open_again(&self) {
        let mut process = self.process();
        process.end();
        *process = Process::start(&self.root);
    }

    /// The number of the process.
    pub fn pid(&self) -> u32 {
        self.process().child.id()
    }

    /// Waits for the program to end by itself and gives its exit code.
    pub fn wait(&self) -> Option<i32> {
        self.process().child.wait().unwrap().code()
    }

    fn process(&self) -> MutexGuard<'_, Process> {
        self.process.lock().unwrap()
    }
}

impl Process {
    fn start(root: &Path) -> Self {
        let log = File::options().create(true).append(true).open(root.join(LOG)).unwrap();
        let mut command = program(root, &["desk", "--json", "--port", "0"]);
        let mut child = command.stdout(Stdio::piped()).stderr(log).spawn().unwrap();
        let mut stdout = BufReader::new(child.stdout.take().unwrap());
        let mut line = String::new();
        stdout.read_line(&mut line).unwrap();
        let first: Value = serde_json::from_str(&line).unwrap_or_else(|_| panic!("the desk was not opened: {line}"));
        let told = |member: &str| first[member].as_str().unwrap().to_owned();
        Self {
            address: told("address").trim_end_matches('/').into(),
            link: told("link"),
            child,
            log: root.join(LOG),
            _stdout: stdout,
        }
    }

    fn end(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
        print!("{}", std::fs::read_to_string(&self.log).unwrap_or_default());
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        self.end();
    }
}

fn new_folder() -> TempDir {
    tempfile::Builder::new().prefix("desk-").tempdir().unwrap()
}

fn pair_clients(register: &Path) {
    let mut register = Register::open(register, Access::Create).unwrap();
    for number in 0..CLIENTS {
        for looks_only in [false, true] {
            register.pair_device("Test", &sha256(secret(number, looks_only).as_bytes()), looks_only).unwrap();
        }
    }
}

fn secret(number: usize, looks_only: bool) -> String {
    format!("{number}-{looks_only}")
}

fn program(root: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_stowmark"));
    command.current_dir(root).env_remove("STOWMARK_REGISTER").args(["--register", REGISTER]).args(words);
    command.env("HOME", root.join("home")).env("XDG_DATA_HOME", root.join("home/data")).stdin(Stdio::null());
    command
}

#[track_caller]
fn succeed(root: &Path, words: &[&str]) -> String {
    let Output { status, stdout, stderr } = program(root, words).output().unwrap();
    let stderr = String::from_utf8_lossy(&stderr);
    assert!(status.success(), "{words:?}: {status}\n{stderr}");
    String::from_utf8(stdout).unwrap()
}

fn rows(register: &Connection, table: &str) -> Vec<String> {
    let mut query = register.prepare(&format!("SELECT * FROM {table}")).unwrap();
    let columns = query.column_count();
    let cells = |row: &rusqlite::Row<'_>| (0..columns).map(|at| row.get(at)).collect::<Result<Vec<_>, _>>();
    let rows = query.query_map([], cells).unwrap();
    rows.map(|row: Result<Vec<rusqlite::types::Value>, _>| format!("{table}: {:?}", row.unwrap())).collect()
}

/// Asks again and again until there is an answer, for a minute at most.
#[track_caller]
pub fn until<T>(what: &str, mut ask: impl FnMut() -> Option<T>) -> T {
    for _ in 0..1200 {
        if let Some(answer) = ask() {
            return answer;
        }
        sleep(Duration::from_millis(50));
    }
    panic!("waited a minute for {what}");
}

/// Whether a program is here. Where it is not, says so; with `STOWMARK_NEED_TOOLS` it has to be.
pub fn needs(program: &str) -> bool {
    let is_here = Command::new(program).arg("--version").output().is_ok();
    if !is_here {
        assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "{program} is wanted");
        println!("skipped: no {program} here");
    }
    is_here
}
