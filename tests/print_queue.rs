//! Files handed to a print queue: a real print service of its own, started here, that prints into files.
//!
//! Needs `cupsd` with its filters, `lp` and `pdfinfo` (Debian: cups, cups-client, cups-filters, poppler-utils).
//! Where they are missing the tests say so and pass, unless `STOWMARK_NEED_TOOLS` is set.

#![cfg(unix)]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Child, Command, Output, Stdio},
    time::{Duration, Instant},
};

use stowmark::{
    job::send,
    output::{DocumentInfo, Pixels, pdf, rasterise},
    sheet::{Device, alignment_page, find_sheet},
    unit::Dpi,
};
use tempfile::TempDir;

/// A driver that takes PDF and whose pages can be compared, from cups-filters.
const DRIVER: &str = "/usr/share/ppd/cupsfilters/Generic-PDF_Printer-PDF.ppd";
const DAEMON: &str = "/usr/sbin/cupsd";

/// A print service in a folder, ended with it.
struct Service {
    folder: TempDir,
    daemon: Child,
}

impl Drop for Service {
    fn drop(&mut self) {
        let _ = self.daemon.kill();
        let _ = self.daemon.wait();
    }
}

impl Service {
    /// The service, or `None` where it can't run.
    fn start() -> Option<Self> {
        if let Some(reason) = what_is_missing() {
            assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "{reason}");
            println!("skipped: {reason}");
            return None;
        }
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path().display();
        for inner in ["etc/ppd", "spool/tmp", "cache", "state", "log", "out"] {
            fs::create_dir_all(folder.path().join(inner)).unwrap();
        }
        let files = format!(
            "ServerRoot {root}/etc\nRequestRoot {root}/spool\nTempDir {root}/spool/tmp\nCacheDir {root}/cache\n\
             StateDir {root}/state\nAccessLog {root}/log/access\nErrorLog {root}/log/error\nPageLog {root}/log/page\n\
             DataDir /usr/share/cups\nServerBin /usr/lib/cups\nSystemGroup root\nFileDevice Yes\n"
        );
        let rules = "Order allow,deny\nAllow all\n";
        let server = format!(
            "Listen {root}/state/sock\nBrowsing Off\nWebInterface No\nDefaultAuthType None\n<Location />\n{rules}</Location>\n\
             <Policy default>\n<Limit All>\n{rules}</Limit>\n</Policy>\n"
        );
        let (files_at, server_at) = (folder.path().join("etc/cups-files.conf"), folder.path().join("etc/cupsd.conf"));
        fs::write(&files_at, files).unwrap();
        fs::write(&server_at, server).unwrap();
        let mut command = Command::new(DAEMON);
        command.arg("-f").arg("-c").arg(server_at).arg("-s").arg(files_at).stdin(Stdio::null());
        let daemon = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        let service = Self { folder, daemon };
        wait_until("the print service answers", || text(&service.tool("lpstat", &["-r"])).contains("is running"));
        Some(service)
    }

    fn server(&self) -> PathBuf {
        self.folder.path().join("state/sock")
    }

    fn tool(&self, program: &str, args: &[&str]) -> Output {
        Command::new(program).args(args).env("CUPS_SERVER", self.server()).env("LC_ALL", "C").output().unwrap()
    }

    /// A queue on this paper that prints into a file, and the file.
    fn queue(&self, name: &str, paper: &str) -> PathBuf {
        let out = self.folder.path().join("out").join(format!("{name}.pdf"));
        let (device, paper) = (format!("file:{}", out.display()), format!("PageSize={paper}"));
        let made = self.tool("lpadmin", &["-p", name, "-E", "-v", &device, "-P", DRIVER, "-o", &paper]);
        assert!(made.status.success(), "{made:?}");
        out
    }

    /// What `send` answers to this queue, in a process of its own that has this service as its own.
    fn send(&self, file: &Path, queue: &str) -> String {
        send_elsewhere(file, queue, |command| command.env("CUPS_SERVER", self.server()))
    }
}

fn what_is_missing() -> Option<String> {
    let has = |program: &str, arg: &str| Command::new(program).arg(arg).output().is_ok();
    if !Path::new(DAEMON).exists() || !Path::new(DRIVER).exists() {
        return Some(format!("no {DAEMON} with {DRIVER} here"));
    }
    // A print service of one's own wants to change its files' owner.
    let id = Command::new("id").arg("-u").output().map(|answer| text(&answer)).unwrap_or_default();
    match () {
        () if id.trim() != "0" => Some("a print service of one's own is started by root only".into()),
        () if !has("lp", "-?") || !has("pdfinfo", "-v") => Some("no lp or pdfinfo here".into()),
        () => None,
    }
}

fn text(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

fn wait_until(what: &str, mut is_so: impl FnMut() -> bool) {
    let start = Instant::now();
    while !is_so() {
        assert!(start.elapsed() < Duration::from_mins(1), "{what}: not within a minute");
        std::thread::sleep(Duration::from_millis(100));
    }
}

/// Runs [`hand_over`] in a process with another environment, since this one's can't be changed.
fn send_elsewhere(file: &Path, queue: &str, environment: impl FnOnce(&mut Command) -> &mut Command) -> String {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--exact", "hand_over", "--ignored", "--nocapture"]).env("SEND_FILE", file).env("SEND_QUEUE", queue);
    let answer = environment(&mut command).output().unwrap();
    let said = text(&answer);
    said.lines().find_map(|line| line.split_once("SENT ")).unwrap_or_else(|| panic!("{answer:?}")).1.to_owned()
}

#[test]
#[ignore = "run by the tests beside it"]
fn hand_over() {
    let given = |name: &str| std::env::var(name).unwrap();
    let said = match send(Path::new(&given("SEND_FILE")), &given("SEND_QUEUE")) {
        Ok(ticket) => format!("{} {}", ticket.queue, ticket.job.unwrap_or_default()),
        Err(fault) => format!("error: {fault}"),
    };
    println!("\nSENT {said}");
}

fn page_file(folder: &Path, sheet: &str) -> PathBuf {
    let page = alignment_page("laser", find_sheet(sheet).unwrap(), &Device::from(Dpi::DEFAULT)).unwrap();
    let info = DocumentInfo { title: "Alignment".into(), language: "en".into() };
    let file = folder.join(format!("{sheet}, page.pdf"));
    fs::write(&file, pdf(&[page], &info).unwrap()).unwrap();
    file
}

/// The first and the last dark column and row of a page at 300 dpi: the ends of its rulers and words.
fn dark_ends(file: &Path) -> [usize; 4] {
    let Pixels { width, luma, .. } = rasterise(&fs::read(file).unwrap(), 1, Dpi::DEFAULT, false).unwrap();
    let width = width as usize;
    let dark: Vec<usize> = (0..luma.len()).filter(|at| luma[*at] < 128).collect();
    let columns = || dark.iter().map(|at| at % width);
    let rows = (dark.first().unwrap() / width, dark.last().unwrap() / width);
    [columns().min().unwrap(), columns().max().unwrap(), rows.0, rows.1]
}

/// A queue with filters, on A4 and on Letter: what comes out is as large as what went in, and at the same place.
#[test]
fn a_page_comes_out_at_actual_size() {
    let Some(service) = Service::start() else { return };
    for (queue, paper, sheet) in [("laser", "A4", "a4-3x7"), ("other-laser", "Letter", "letter-3x10")] {
        let (out, file) = (service.queue(queue, paper), page_file(service.folder.path(), sheet));
        let said = service.send(&file, queue);
        assert!(said.starts_with(&format!("{queue} {queue}-")), "{said}");
        wait_until("the page comes out", || {
            Command::new("pdfinfo").arg(&out).output().is_ok_and(|answer| answer.status.success())
        });
        // The service's A4 is 595 x 842 points, ours a quarter of a point more or less: 0.1 mm, a dot.
        let (sent, printed) = (dark_ends(&file), dark_ends(&out));
        println!("{paper}: from {sent:?} to {printed:?} at 300 dpi");
        assert!(sent.iter().zip(printed).all(|(sent, printed)| sent.abs_diff(printed) <= 2), "{paper}");
    }
}

#[test]
fn an_unknown_queue_is_told_with_those_that_there_are() {
    let Some(service) = Service::start() else { return };
    let file = page_file(service.folder.path(), "a4-3x7");
    assert!(service.send(&file, "laser").contains("there is no print queue `laser`: this computer has none"));
    service.queue("ink", "A4");
    assert!(service.send(&file, "laser").contains("there is no print queue `laser`, only `ink`; `"));
    assert!(service.send(&file, "-o").contains("`-o` is no name of a print queue"));
    assert!(file.exists());
}

#[test]
fn a_queue_that_takes_nothing_is_told() {
    let Some(service) = Service::start() else { return };
    let file = page_file(service.folder.path(), "a4-3x7");
    service.queue("laser", "A4");
    assert!(service.tool("cupsreject", &["laser"]).status.success());
    let said = service.send(&file, "laser");
    assert!(said.contains("the print system did not take `") && said.contains("not accepting jobs"), "{said}");
}

/// As on Windows: no `lp` anywhere.
#[test]
fn without_a_print_system_the_file_stays() {
    let folder = tempfile::tempdir().unwrap();
    let file = page_file(folder.path(), "a4-3x7");
    let said = send_elsewhere(&file, "laser", |command| command.env("PATH", folder.path()));
    assert!(said.contains("there is no `lp` on this computer") && said.contains("a4-3x7, page.pdf"), "{said}");
    assert!(file.exists());
}
