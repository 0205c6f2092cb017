//! The `stowmark` program: parse, run, print the error, exit code.
#![forbid(unsafe_code)]

use std::process::ExitCode;

use stowmark::cli::{Io, run};

fn main() -> ExitCode {
    ExitCode::from(run(std::env::args_os(), &mut Io::of_process()))
}
