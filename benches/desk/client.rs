//! A client that scans: a bin, ten items, the next bin. It speaks HTTP over one connection by itself, so that what is
//! measured is the desk.

use std::{
    collections::BTreeMap,
    io::{BufRead, BufReader, Read, Write},
    net::TcpStream,
    thread::sleep,
    time::{Duration, Instant},
};

use stowmark::code::BinCode;

use super::stock::{Share, secret};

/// Items that go into a bin before the next one.
const TURN: usize = 10;
/// An answer that takes longer is an error.
const PATIENCE: Duration = Duration::from_secs(10);

/// What became of a client's scans.
#[derive(Default)]
pub struct Tally {
    /// How long each took, in milliseconds.
    pub times: Vec<f64>,
    /// Scans that were answered as stowed.
    pub stowed: Vec<String>,
    /// Where items are by these answers.
    pub stand: BTreeMap<u64, BinCode>,
    /// What went wrong.
    pub errors: Vec<String>,
}

/// A paired device with a session.
pub struct Client<'a> {
    stream: BufReader<TcpStream>,
    port: u16,
    number: usize,
    share: &'a Share,
    bin: BinCode,
    scans: usize,
    tally: Tally,
}

impl<'a> Client<'a> {
    /// Connects to the desk.
    pub fn new(port: u16, number: usize, share: &'a Share) -> Self {
        let stream = TcpStream::connect(("127.0.0.1", port)).expect("a connection");
        stream.set_nodelay(true).expect("a socket");
        stream.set_read_timeout(Some(PATIENCE)).expect("a socket");
        let (bin, tally) = (share.bins[0], Tally::default());
        Self { stream: BufReader::new(stream), port, number, share, bin, scans: 0, tally }
    }

    /// Scans until the end.
    pub fn run(mut self, end: Instant, pause: Duration) -> Tally {
        let (bins, items) = (&self.share.bins, &self.share.items);
        let turns = items.chunks(TURN).cycle().zip(bins.iter().cycle());
        for (items, bin) in turns {
            let is_done = self.turn(*bin, items, end, pause);
            if is_done || self.tally.errors.len() > 20 {
                break;
            }
        }
        self.tally
    }

    fn turn(&mut self, bin: BinCode, items: &[u64], end: Instant, pause: Duration) -> bool {
        self.scan(&bin.to_string(), None);
        self.bin = bin;
        for item in items {
            sleep(pause);
            if Instant::now() >= end {
                return true;
            }
            self.scan(&format!("#{item}"), Some(*item));
        }
        false
    }

    fn scan(&mut self, text: &str, item: Option<u64>) {
        self.scans += 1;
        let scan = format!("load-{}-{}", self.number, self.scans);
        let begin = Instant::now();
        let answer = self.ask(&scan, text);
        self.tally.times.push(begin.elapsed().as_secs_f64() * 1000.0);
        match (answer, item) {
            (Ok(body), Some(item)) if body.contains(" Stowed</p>") => {
                self.tally.stowed.push(scan);
                self.tally.stand.insert(item, self.bin);
            }
            (Ok(body), Some(_)) if body.contains(" There already</p>") => {}
            (Ok(body), None) if body.contains(" Bin</p>") => {}
            (Ok(body), _) => self.tally.errors.push(body),
            (Err(fault), _) => self.tally.errors.push(fault.to_string()),
        }
    }

    fn ask(&mut self, scan: &str, text: &str) -> std::io::Result<String> {
        let (port, number) = (self.port, self.number);
        let text = text.replace('#', "%23");
        let body = format!("session=load-session-{number}&scan={scan}&text={text}&bin=&begun=0");
        let head = format!(
            "POST /stow/scan HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nX-Part: 1\r\n\
             Cookie: stowmark-{port}={}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n",
            secret(number),
            body.len()
        );
        self.stream.get_mut().write_all(format!("{head}{body}").as_bytes())?;
        self.answer()
    }

    fn answer(&mut self) -> std::io::Result<String> {
        let (mut status, mut length) = (String::new(), 0);
        self.stream.read_line(&mut status)?;
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line)?;
            if let Some(value) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = value.trim().parse().map_err(std::io::Error::other)?;
            }
            if line.trim().is_empty() {
                break;
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body)?;
        let body = String::from_utf8_lossy(&body).into_owned();
        if status.contains(" 200 ") { Ok(body) } else { Err(std::io::Error::other(format!("{status}{body}"))) }
    }
}
