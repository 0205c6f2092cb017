//! A page that scans, as its script sends readings.

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::client::{Answer, Client};

static NEXT: AtomicUsize = AtomicUsize::new(1);

/// A session of a device.
pub struct Scanner {
    pub client: Client,
    pub area: &'static str,
    pub session: String,
    /// The bin that the page knows.
    pub bin: String,
    /// Readings that the page knows to be taken.
    pub begun: usize,
}

impl Scanner {
    /// Opens the page of an area, which names a session.
    #[track_caller]
    pub fn open(client: &Client, area: &'static str, page: &str) -> Self {
        let session = client.done_or_page(page);
        let field = |name: &str| session.field(name).unwrap_or_default();
        let begun = field("begun").parse().unwrap_or_default();
        Self { client: client.clone(), area, session: field("session"), bin: field("bin"), begun }
    }

    /// Sends a reading under a number that no other has.
    #[track_caller]
    pub fn scan(&mut self, text: &str) -> Said {
        self.send(&fresh(), text)
    }

    /// Sends a reading under this number.
    #[track_caller]
    pub fn send(&mut self, scan: &str, text: &str) -> Said {
        let begun = self.begun.to_string();
        let fields =
            [("session", self.session.as_str()), ("scan", scan), ("text", text), ("bin", &self.bin), ("begun", &begun)];
        let answer = self.client.post_part(&format!("/{}/scan", self.area), &fields);
        self.heard(answer)
    }

    /// Sends a photograph in place of readings.
    #[track_caller]
    pub fn photograph(&mut self, scan: &str, picture: &[u8]) -> Said {
        let begun = self.begun.to_string();
        let fields = [("session", self.session.as_str()), ("scan", scan), ("bin", &self.bin), ("begun", &begun)];
        let answer = self.client.post_file_part(&format!("/{}/photo", self.area), &fields, "photo", "a.png", picture);
        self.heard(answer)
    }

    fn heard(&mut self, answer: Answer) -> Said {
        let said = Said::read(answer);
        if said.answer.status == 200 {
            self.bin = said.of("data-bin");
            self.begun = said.of("data-readings").parse().unwrap();
        }
        said
    }
}

/// A number for a scan.
pub fn fresh() -> String {
    format!("scan-{:08}", NEXT.fetch_add(1, Ordering::Relaxed))
}

/// What was answered to a reading.
pub struct Said {
    pub answer: Answer,
    /// What is heard.
    pub sound: String,
}

impl Said {
    fn read(answer: Answer) -> Self {
        let sound = answer.header("x-sound").unwrap_or("missing").to_owned();
        Self { answer, sound }
    }

    /// Holds it against what is to be heard and to be read.
    #[track_caller]
    pub fn is(&self, sound: &str, parts: &[&str]) {
        let text = self.answer.text();
        assert_eq!(self.sound, sound, "{} {text}", self.answer.status);
        for part in parts {
            assert!(text.contains(part), "no `{part}` in {text}");
        }
    }

    fn of(&self, attribute: &str) -> String {
        let body = self.answer.body();
        let behind = body.split_once(&format!("{attribute}=\"")).map(|(_, rest)| rest.to_owned()).unwrap_or_default();
        behind.split('"').next().unwrap_or_default().to_owned()
    }
}

impl Client {
    /// A page, or the one that it leads to.
    #[track_caller]
    fn done_or_page(&self, path: &str) -> Answer {
        let answer = self.get(path);
        if answer.status == 303 { self.follow(&answer) } else { answer }
    }
}
