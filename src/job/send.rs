//! A file handed to the system's print queue by `lp`, at actual size.
//!
//! Start with [`send`]. What the queue makes of it, and the paper in the printer, are the queue's.

use std::{
    io::ErrorKind,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

use serde::Serialize;

/// Longer ones the print system does not take.
const LONGEST_QUEUE: usize = 127;
/// What the print system's own names can't hold.
const NOT_IN_QUEUES: &str = "/#\\?'\"";

/// Why a file was not handed over. It is where it was.
#[derive(Debug, thiserror::Error)]
pub enum SendError {
    /// There is no print system that takes files by `lp`.
    #[error(
        "there is no `lp` on this computer to send files to a printer; open `{0}` and print it from there, at actual size (100 %)"
    )]
    NoPrintSystem(PathBuf),
    /// A name that no queue can have.
    #[error("`{0}` is no name of a print queue; `lpstat -e` lists those of this computer")]
    QueueName(String),
    /// No such queue.
    #[error("there is no print queue `{queue}`{}; `{file}` is whole and can be sent again", known_text(.known))]
    UnknownQueue {
        /// What was asked for.
        queue: String,
        /// The queues that there are.
        known: Vec<String>,
        /// The file.
        file: PathBuf,
    },
    /// The print system refused.
    #[error(
        "the print system did not take `{file}` for the queue `{queue}`: {said}; the file is whole and can be sent again"
    )]
    Refused {
        /// The file.
        file: PathBuf,
        /// The queue.
        queue: String,
        /// What it said.
        said: String,
    },
    /// `lp` could not be started.
    #[error("`{program}` could not be started; `{file}` is whole, print it by hand at actual size (100 %)")]
    Start {
        /// Which program.
        program: &'static str,
        /// The file.
        file: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
}

fn known_text(known: &[String]) -> String {
    match known {
        [] => ": this computer has none".into(),
        [one] => format!(", only `{one}`"),
        known => format!("; there are {}", known.join(", ")),
    }
}

/// What the print system calls what it took.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct JobTicket {
    /// The queue.
    pub queue: String,
    /// The print system's own name of the job, where it said one: `laser-12`.
    pub job: Option<String>,
}

/// Hands a PDF to a print queue at actual size.
///
/// # Errors
/// [`SendError`]; the file stays where it is.
pub fn send(file: &Path, queue: &str) -> Result<JobTicket, SendError> {
    check_queue_name(queue)?;
    let known = queues(file)?;
    if !known.iter().any(|name| name == queue) {
        return Err(SendError::UnknownQueue { queue: queue.to_owned(), known, file: file.to_owned() });
    }
    // An absolute path can't be taken for an option.
    let path = std::path::absolute(file).unwrap_or_else(|_| file.to_owned());
    let lp = program("lp").args(["-d", queue, "-o", "print-scaling=none"]).arg(path).output();
    let answer = lp.map_err(|source| not_started("lp", file, source))?;
    if !answer.status.success() {
        let (file, queue) = (file.to_owned(), queue.to_owned());
        return Err(SendError::Refused { file, queue, said: complaint(&answer) });
    }
    Ok(JobTicket { queue: queue.to_owned(), job: job_name(&String::from_utf8_lossy(&answer.stdout)) })
}

/// Whether a queue could have this name.
pub(super) fn check_queue_name(queue: &str) -> Result<(), SendError> {
    let is_plain = |c: char| !c.is_whitespace() && !c.is_control() && !NOT_IN_QUEUES.contains(c);
    let is_name = !queue.is_empty() && !queue.starts_with('-') && queue.chars().all(is_plain);
    let fits = queue.len() <= LONGEST_QUEUE;
    if is_name && fits { Ok(()) } else { Err(SendError::QueueName(queue.to_owned())) }
}

/// The queues of this computer, those that it found in the network too.
fn queues(file: &Path) -> Result<Vec<String>, SendError> {
    let answer = program("lpstat").arg("-e").output().map_err(|source| not_started("lpstat", file, source))?;
    let names = String::from_utf8_lossy(&answer.stdout);
    Ok(names.lines().map(|name| name.trim().to_owned()).filter(|name| !name.is_empty()).collect())
}

/// A program of the print system that answers in plain English and asks nothing.
fn program(name: &str) -> Command {
    let mut command = Command::new(name);
    command.env("LC_ALL", "C").stdin(Stdio::null());
    command
}

fn not_started(program: &'static str, file: &Path, source: std::io::Error) -> SendError {
    let file = file.to_owned();
    match source.kind() {
        ErrorKind::NotFound => SendError::NoPrintSystem(file),
        _ => SendError::Start { program, file, source },
    }
}

/// The first line that a program complained in, without its own name.
fn complaint(answer: &Output) -> String {
    let said = String::from_utf8_lossy(&answer.stderr);
    let line = said.lines().find(|line| !line.trim().is_empty()).unwrap_or("it gave no reason");
    line.trim().trim_start_matches("lp: ").trim_end_matches('.').to_owned()
}

/// `request id is laser-12 (1 file(s))`
fn job_name(said: &str) -> Option<String> {
    let rest = said.split_once("request id is ")?.1;
    rest.split_whitespace().next().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_job_is_named_as_the_print_system_says() {
        assert_eq!(job_name("request id is laser-12 (1 file(s))\n").as_deref(), Some("laser-12"));
        assert_eq!(job_name(""), None);
    }

    #[test]
    fn what_could_be_an_option_or_a_path_is_no_queue() {
        for queue in ["", "-o", "--help", "a b", "a/b", "laser#2", "tab\t", &"q".repeat(128)] {
            assert!(matches!(check_queue_name(queue), Err(SendError::QueueName(_))), "{queue}");
        }
        assert!(check_queue_name("Büro-Laser_2").is_ok());
    }
}
