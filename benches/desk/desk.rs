//! The desk as a process of its own.

use std::{
    io::{BufRead, BufReader},
    path::Path,
    process::{Child, Command, Stdio},
};

/// A desk that listens on this computer.
pub struct Desk {
    child: Child,
    /// Where.
    pub port: u16,
}

impl Desk {
    /// Opens it over a register.
    pub fn start(register: &Path) -> Self {
        let mut command = Command::new(env!("CARGO_BIN_EXE_stowmark"));
        command.arg("--register").arg(register).args(["desk", "--json", "--port", "0"]);
        let mut child = command.stdout(Stdio::piped()).stdin(Stdio::null()).spawn().expect("it starts");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("an output")).read_line(&mut line).expect("a line");
        let told: serde_json::Value = serde_json::from_str(&line).expect("an answer");
        let address = told["address"].as_str().expect("an address").trim_end_matches('/');
        let port = address.rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port");
        Self { child, port }
    }

    /// Ends it.
    pub fn end(mut self) {
        self.child.kill().expect("our own process");
        self.child.wait().expect("its end");
    }
}
