//! Where a command reads and writes.

use std::io::{self, BufRead, IsTerminal, Write};

use serde_json::json;

use super::outcome::CliError;
use crate::job::{ImportError, with_causes};

/// The streams of a command, so that tests and the demo can hand in their own.
pub struct Io<'a> {
    pub(super) input: Box<dyn BufRead + 'a>,
    pub(super) out: Box<dyn Write + 'a>,
    pub(super) err: Box<dyn Write + 'a>,
    /// Whether a person sits before input and output.
    pub(super) interactive: bool,
    /// Whether these are the streams of the process, which clap knows how to colour.
    pub(super) is_process: bool,
    /// Whether the register gets its daily backup.
    pub(super) makes_backups: bool,
}

impl<'a> Io<'a> {
    /// The streams of the process.
    #[must_use]
    pub fn of_process() -> Io<'static> {
        Io {
            input: Box::new(io::stdin().lock()),
            out: Box::new(io::stdout()),
            err: Box::new(io::stderr()),
            interactive: io::stdin().is_terminal() && io::stdout().is_terminal(),
            is_process: true,
            makes_backups: true,
        }
    }

    /// Streams in memory.
    pub fn of(input: &'a [u8], out: &'a mut Vec<u8>, err: &'a mut Vec<u8>) -> Self {
        Self {
            input: Box::new(input),
            out: Box::new(out),
            err: Box::new(err),
            interactive: false,
            is_process: false,
            makes_backups: true,
        }
    }

    /// Without the daily backup of the register, as for one that only shows how things go.
    pub(super) fn without_backups(self) -> Self {
        Self { makes_backups: false, ..self }
    }

    /// What clap has to say: help and version are answers, anything else is a slip of usage.
    pub(super) fn usage(&mut self, said: &clap::Error) -> u8 {
        // With the streams gone there is nobody left to tell.
        let _ = match (self.is_process, said.use_stderr()) {
            (true, _) => said.print(),
            (false, true) => write!(self.err, "{}", said.render()),
            (false, false) => write!(self.out, "{}", said.render()),
        };
        u8::try_from(said.exit_code()).unwrap_or(2)
    }

    /// Tells why a command failed, with its causes. With `json` refused rows are an answer as well.
    pub(super) fn fail(&mut self, fault: &CliError, json: bool) {
        // With the streams gone there is nobody left to tell.
        let (member, refused) = match fault {
            CliError::Import(ImportError::Rows { refused, .. }) => ("items", Some(refused)),
            CliError::Orders(ImportError::Rows { refused, .. }) => ("sold", Some(refused)),
            _ => ("", None),
        };
        if let Some(refused) = refused.filter(|_| json) {
            let _ = writeln!(self.out, "{}", json!({ member: [], "refused": super::import::refused_json(refused) }));
        }
        let _ = writeln!(self.err, "error: {}", with_causes(fault));
    }
}
