//! Sessions on a terminal: keys one by one, what is shown of them, and the terminal as before at the end.
//!
//! Needs `script`, which lends a terminal (Debian: bsdutils). Where it is missing the tests say so and pass, unless
//! `STOWMARK_NEED_TOOLS` is set.

use std::{
    io::{BufReader, Read, Write},
    process::{Child, ChildStdin, Command, Stdio},
    sync::mpsc::{Receiver, channel},
    thread::spawn,
    time::Duration,
};

use super::support::{Desk, REGISTER, number};

/// A shell command on a terminal of its own.
struct Terminal {
    child: Child,
    keys: Option<ChildStdin>,
    screen: Receiver<u8>,
    seen: Vec<u8>,
}

impl Terminal {
    /// `None` where there is no `script` to lend one.
    fn start(desk: &Desk, words: &str) -> Option<Self> {
        if let Err(missing) = Command::new("script").arg("--version").output() {
            assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "script: {missing}");
            println!("skipped: no script here ({missing})");
            return None;
        }
        let program = format!("'{}' --register {REGISTER} {words}; stty -a", env!("CARGO_BIN_EXE_stowmark"));
        let mut command = Command::new("script");
        command.args(["--quiet", "--return", "--command", &program, "/dev/null"]).current_dir(desk.path(""));
        let mut child = command.stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
        let (stdout, (sender, screen)) = (BufReader::new(child.stdout.take().unwrap()), channel());
        spawn(move || stdout.bytes().map_while(Result::ok).try_for_each(|byte| sender.send(byte)));
        Some(Self { keys: child.stdin.take(), child, screen, seen: Vec::new() })
    }

    fn press(&mut self, keys: &str) {
        let input = self.keys.as_mut().unwrap();
        input.write_all(keys.as_bytes()).unwrap();
        input.flush().unwrap();
    }

    /// Waits until a text is on the screen, and gives all that came up to it.
    #[track_caller]
    fn see(&mut self, text: &str) -> String {
        loop {
            if let Some(at) = find(&self.seen, text.as_bytes()) {
                let rest = self.seen.split_off(at + text.len());
                return String::from_utf8_lossy(&std::mem::replace(&mut self.seen, rest)).into_owned();
            }
            match self.screen.recv_timeout(Duration::from_mins(1)) {
                Ok(byte) => self.seen.push(byte),
                Err(end) => panic!("no `{text}` in {:?}: {end}", String::from_utf8_lossy(&self.seen)),
            }
        }
    }

    /// The session has ended, and the terminal hands over whole lines again and shows them.
    #[track_caller]
    fn ends_as_before(mut self) {
        let flags = self.see("echoctl");
        assert!(flags.contains(" icanon") && !flags.contains("-icanon"), "{flags:?}");
        assert!(flags.contains(" echo ") && !flags.contains("-echo "), "{flags:?}");
        self.keys = None;
        self.child.wait().unwrap();
    }
}

fn find(bytes: &[u8], part: &[u8]) -> Option<usize> {
    bytes.windows(part.len()).position(|window| window == part)
}

/// A Tab ends no line on a terminal that hands over whole lines (POSIX, canonical mode).
#[test]
fn a_reader_that_ends_with_a_tab_is_answered() {
    let desk = Desk::with_items();
    desk.run("tag --no-proof").done();
    let Some(mut terminal) = Terminal::start(&desk, "stow") else { return };
    terminal.see("Ctrl-D ends it.\r\n\r\n");
    terminal.press("4C\t");
    let told = terminal.see("with 0 items\r\n");
    assert!(told.starts_with("4C\r\n") && told.contains("  into 4C, Loft, rack 1, level 2"), "{told:?}");
    terminal.press("4A001F\t");
    let told = terminal.see("(its code names 4A)\r\n");
    assert!(told.contains("  Copper jam pan\r\n  4A-001F: from 4A to 4C"), "{told:?}");
    assert!(!told.contains('\u{7}') && told.contains('█'), "{told:?}");
    terminal.press("4A001\r");
    let told = terminal.see("scan it again");
    assert!(told.contains("\u{7}\u{7}  refused: its check letter"), "{told:?}");
    terminal.press("undx\u{7f}o\r\n");
    let told = terminal.see("level 2 again");
    assert!(told.contains("undx\u{8} \u{8}o\r\n  taken back: 4A-001F"), "{told:?}");
    terminal.press("\u{4}");
    terminal.see("0 items stowed, 1 reading refused\r\n");
    terminal.ends_as_before();
}

#[test]
fn ctrl_c_ends_a_session_and_the_terminal_ends_as_before() {
    let desk = Desk::with_items();
    for words in ["scan", "stow"] {
        let Some(mut terminal) = Terminal::start(&desk, words) else { return };
        terminal.see("Ctrl-D ends it.\r\n\r\n");
        terminal.press("4A00\u{3}");
        terminal.ends_as_before();
    }
}

#[test]
fn a_scan_is_answered_in_large_letters() {
    let desk = Desk::with_items();
    let Some(mut terminal) = Terminal::start(&desk, "scan") else { return };
    terminal.see("Ctrl-D ends it.\r\n\r\n");
    terminal.press("4A001F\t");
    assert!(terminal.see("Copper jam pan").contains('█'));
    terminal.press("spinning wheel\t");
    assert!(terminal.see("nothing found for `spinning wheel`").contains("\u{7}\u{7}"));
    terminal.press("\u{4}");
    terminal.ends_as_before();
}

#[test]
fn a_count_is_answered_as_it_goes_and_ctrl_c_drops_it() {
    let desk = Desk::with_items();
    let Some(mut terminal) = Terminal::start(&desk, "count 4A") else { return };
    assert!(terminal.see("Ctrl-D ends it.\r\n\r\n").contains("3 items by the register"));
    terminal.press("4A002C\t");
    terminal.see("  1 of 3: 4A-002C  Board game, 12 geese\r\n");
    terminal.press("4A001\t");
    assert!(terminal.see("unknown: its check letter").contains("\u{7}\u{7}"));
    terminal.press("4A003A\tdone\r");
    terminal
        .see("4A, Loft, rack 1, level 2: 2 present, 1 missing, 0 found here but belonging elsewhere, 1 unknown\r\n");
    terminal.ends_as_before();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM tally"), 1);

    let Some(mut terminal) = Terminal::start(&desk, "count 4A --fix") else { return };
    terminal.see("Ctrl-D ends it.\r\n\r\n");
    terminal.press("4A002C\t");
    terminal.see("1 of 3");
    terminal.press("\u{3}");
    terminal.see("error: the count was broken off; nothing was recorded");
    terminal.ends_as_before();
    assert_eq!(number(&desk.register(), "SELECT count(*) FROM tally"), 1);
}

/// With `--json` another program reads the answers: lines as ever, no bells.
#[test]
fn json_takes_lines_on_a_terminal_too() {
    let desk = Desk::with_items();
    let Some(mut terminal) = Terminal::start(&desk, "--json stow") else { return };
    terminal.press("4C\n");
    terminal.see("{\"bin\":\"4C\"}\r\n");
    terminal.press("4A001\n");
    assert!(!terminal.see("\"read\":\"4A001\"").contains('\u{7}'));
    terminal.press("\u{4}");
    terminal.ends_as_before();
}
