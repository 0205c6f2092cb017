//! Bytes over TCP, where a client would be too polite.

use std::{
    io::{Read, Write},
    net::TcpStream,
    time::{Duration, Instant},
};

/// No answer takes longer than this, or the test fails.
const PATIENCE: Duration = Duration::from_secs(30);

/// A connection.
pub struct Raw(TcpStream);

/// An answer as it came.
#[derive(Debug)]
pub struct RawAnswer {
    /// 0 when the connection was closed without an answer.
    pub status: u16,
    pub head: String,
    pub body: String,
}

impl Raw {
    /// Connects to a host as `127.0.0.1:40123`.
    pub fn connect(host: &str) -> Self {
        let stream = TcpStream::connect(host).unwrap();
        stream.set_read_timeout(Some(PATIENCE)).unwrap();
        stream.set_write_timeout(Some(PATIENCE)).unwrap();
        Self(stream)
    }

    /// Sends bytes; `false` when the other side has closed.
    pub fn say(&mut self, bytes: impl AsRef<[u8]>) -> bool {
        self.0.write_all(bytes.as_ref()).is_ok()
    }

    /// Reads one answer: all of it by its length, or until the end of the connection.
    pub fn answer(&mut self) -> RawAnswer {
        let (mut read, mut piece) = (Vec::new(), [0; 16 * 1024]);
        while !is_whole(&read) {
            match self.0.read(&mut piece) {
                Ok(0) | Err(_) => break,
                Ok(length) => read.extend_from_slice(&piece[..length]),
            }
        }
        RawAnswer::parse(&read)
    }

    /// How long it takes until the other side closes, whatever it says before.
    #[track_caller]
    pub fn closed_after(&mut self) -> Duration {
        let (begin, mut piece) = (Instant::now(), [0; 16 * 1024]);
        loop {
            match self.0.read(&mut piece) {
                Ok(0) => return begin.elapsed(),
                Err(fault) if fault.kind() == std::io::ErrorKind::ConnectionReset => return begin.elapsed(),
                Err(fault) => panic!("still open after {:?}: {fault}", begin.elapsed()),
                Ok(_) => {}
            }
        }
    }
}

/// Sends one request and reads the answer.
pub fn ask(host: &str, request: impl AsRef<[u8]>) -> RawAnswer {
    let mut raw = Raw::connect(host);
    raw.say(request);
    raw.answer()
}

impl RawAnswer {
    fn parse(read: &[u8]) -> Self {
        let text = String::from_utf8_lossy(read);
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        Self { status, head: head.to_ascii_lowercase(), body: body.into() }
    }

    /// The value of a header, by its name in small letters; in small letters.
    pub fn header(&self, name: &str) -> Option<&str> {
        header(&self.head, name)
    }
}

fn header<'h>(head: &'h str, name: &str) -> Option<&'h str> {
    head.lines().find_map(|line| line.split_once(": ").filter(|(known, _)| *known == name).map(|(_, value)| value))
}

fn is_whole(read: &[u8]) -> bool {
    let answer = RawAnswer::parse(read);
    let length = answer.header("content-length").and_then(|length| length.parse().ok());
    let bodiless = [303, 204, 304].contains(&answer.status);
    length.map_or(bodiless && read.ends_with(b"\r\n\r\n"), |length: usize| {
        let head = read.windows(4).position(|four| four == b"\r\n\r\n");
        head.is_some_and(|head| read.len() >= head + 4 + length)
    })
}
