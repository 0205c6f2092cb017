//! One command's run: its options, its streams and the register that it opened.

use std::{io::Write, path::PathBuf};

use serde::Serialize;

use super::{Global, Io, outcome::CliError};
use crate::{
    job::{Opened, PlaceWarning, Settings, Sheets, back_up_if_due, open},
    register::{Access, Register, RegisterError, Settled, default_path},
};

/// What a command has at hand.
pub(super) struct Session<'i, 'a> {
    global: Global,
    io: &'i mut Io<'a>,
    register: Option<Register>,
    /// Why the register's place is risky, until it is told.
    warning: Option<PlaceWarning>,
}

impl<'i, 'a> Session<'i, 'a> {
    pub(super) fn new(global: Global, io: &'i mut Io<'a>) -> Self {
        Self { global, io, register: None, warning: None }
    }

    pub(super) fn io(&mut self) -> &mut Io<'a> {
        self.io
    }

    pub(super) fn json(&self) -> bool {
        self.global.json
    }

    /// A remark that is no part of the answer.
    pub(super) fn note(&mut self, text: &str) -> Result<(), CliError> {
        Ok(writeln!(self.io.err, "{text}")?)
    }

    /// Writes a part of an answer for people; with `--json` nothing.
    pub(super) fn say(&mut self, text: &str) -> Result<(), CliError> {
        if !self.global.json {
            writeln!(self.io.out, "{text}")?;
        }
        Ok(self.io.out.flush()?)
    }

    /// Writes the answer: as JSON, or as the text for people.
    pub(super) fn answer(&mut self, json: &impl Serialize, text: impl FnOnce() -> String) -> Result<(), CliError> {
        if self.global.json {
            serde_json::to_writer(&mut self.io.out, json).map_err(std::io::Error::from)?;
            writeln!(self.io.out)?;
        } else {
            writeln!(self.io.out, "{}", text())?;
        }
        Ok(self.io.out.flush()?)
    }

    /// Opens the register for reading.
    pub(super) fn register(&mut self) -> Result<&mut Register, CliError> {
        self.opened(Access::Existing, false)
    }

    /// Has the register write to the answer's stream, for what is too large to be held at once.
    pub(super) fn with_register<T>(
        &mut self,
        write: impl FnOnce(&Register, &mut dyn Write) -> T,
    ) -> Result<T, CliError> {
        self.register()?;
        let (register, out) = (self.register.as_ref().ok_or(CliError::NoDataFolder)?, &mut self.io.out);
        let mut buffer = std::io::BufWriter::new(out);
        let written = write(register, &mut buffer);
        buffer.flush()?;
        Ok(written)
    }

    /// Opens the register for reading, if there is one.
    pub(super) fn register_if_any(&mut self) -> Result<Option<&mut Register>, CliError> {
        match self.register() {
            Err(CliError::Register(RegisterError::Missing(_)) | CliError::NoDataFolder) => Ok(None),
            register => register.map(Some),
        }
    }

    /// The sheets that can be named, with or without a register.
    pub(super) fn sheets(&mut self) -> Result<Sheets, CliError> {
        let register = self.register_if_any()?;
        Ok(register.map_or_else(|| Ok(Sheets::default()), |register| Sheets::of(register))?)
    }

    /// Opens the register for a change, and tells when its place is risky.
    pub(super) fn register_for_change(&mut self) -> Result<&mut Register, CliError> {
        self.opened(Access::Existing, true)
    }

    /// Opens the register for a change that may be the first.
    pub(super) fn new_register(&mut self) -> Result<&mut Register, CliError> {
        self.opened(Access::Create, true)
    }

    /// The settings of the register, or what holds without one.
    pub(super) fn settings(&mut self) -> Result<Settings, CliError> {
        Ok(Settings::of(self.register()?)?)
    }

    fn opened(&mut self, access: Access, is_change: bool) -> Result<&mut Register, CliError> {
        let register = match self.register.take() {
            Some(register) => register,
            None => self.open(access)?,
        };
        if let Some(warning) = self.warning.take_if(|_| is_change) {
            self.note(&format!("warning: {warning}"))?;
        }
        Ok(self.register.insert(register))
    }

    fn open(&mut self, access: Access) -> Result<Register, CliError> {
        let opened = open(&self.path()?, access)?;
        self.tell(&opened)?;
        self.warning = opened.warning;
        Ok(opened.register)
    }

    /// Hands the register out for good, or until it is given back.
    pub(super) fn take_register(&mut self) -> Result<Register, CliError> {
        self.new_register()?;
        self.register.take().ok_or(CliError::NoDataFolder)
    }

    /// Takes a register in, to be closed when the command ends.
    pub(super) fn give_back(&mut self, register: Option<Register>) {
        self.register = register;
    }

    /// Where the register is, whether or not it is there.
    pub(super) fn path(&self) -> Result<PathBuf, CliError> {
        let named = std::env::var_os("STOWMARK_REGISTER").filter(|name| !name.is_empty()).map(PathBuf::from);
        self.global.register.clone().or(named).or_else(default_path).ok_or(CliError::NoDataFolder)
    }

    fn tell(&mut self, opened: &Opened) -> Result<(), CliError> {
        if opened.created {
            self.note(&format!("new register: {}", opened.register.path().display()))?;
        }
        for settled in &opened.settled {
            self.note(&settled_text(settled))?;
        }
        Ok(())
    }

    /// Closes the register and gives the exit code, which a failure to close turns into 1.
    pub(super) fn close(mut self, code: u8) -> u8 {
        self.back_up();
        match self.register.map_or(Ok(()), Register::close) {
            Ok(()) => code,
            Err(fault) => {
                self.io.fail(&fault.into(), false);
                1
            }
        }
    }
}

impl Session<'_, '_> {
    /// The first command of a day that changed something makes the day's backup. What was asked for is done, so that a
    /// backup that fails is only told.
    fn back_up(&mut self) {
        let Some(register) = self.register.as_ref().filter(|_| self.io.makes_backups) else { return };
        let made = back_up_if_due(register);
        if let Err(fault) = made {
            // With the streams gone there is nobody left to tell.
            let _ = self.note(&format!("today's backup was not made: {fault}"));
        }
    }
}

fn settled_text(settled: &Settled) -> String {
    match settled {
        Settled::Finished(run, file) => {
            format!("run {run} was cut off, but its file is whole: it counts as printed ({})", file.display())
        }
        Settled::Unknown(run, file) => {
            format!(
                "run {run} was cut off, and its file can't be looked at now; it is settled when it can ({})",
                file.display()
            )
        }
        Settled::TakenBack(run, file) => {
            format!(
                "run {run} was cut off before its file was in place: it was taken back, print again ({})",
                file.display()
            )
        }
    }
}
