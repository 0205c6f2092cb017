//! Tools of the system that a test needs, and a way to run the program where the disk is for reading only or full.

use std::{
    path::Path,
    process::{Command, Output},
};

/// Says that a test is skipped for want of a tool; with `STOWMARK_NEED_TOOLS` that is a failure.
pub fn missing(tool: &str) {
    assert!(std::env::var_os("STOWMARK_NEED_TOOLS").is_none(), "{tool} is wanted");
    println!("skipped: no {tool} here");
}

/// Says that a test is skipped since this machine does not allow it, whatever is installed.
pub fn not_allowed(what: &str) {
    println!("skipped: {what}");
}

/// Runs a shell script with mounts of its own, which vanish with it; `None` where that is not allowed.
pub fn in_own_mounts(folder: &Path, script: &str) -> Option<Output> {
    let run = |arguments: &[&str], script: &str| {
        let mut command = Command::new("unshare");
        command.args(arguments).args(["sh", "-euc", script]).current_dir(folder);
        command.env("STOWMARK", env!("CARGO_BIN_EXE_stowmark")).env_remove("STOWMARK_REGISTER");
        command.env("HOME", folder.join("home"));
        command.output().ok()
    };
    let probe = "mount -t tmpfs none /mnt";
    let arguments = [["-m", "--"].as_slice(), ["-rm", "--"].as_slice()]
        .into_iter()
        .find(|arguments| run(arguments, probe).is_some_and(|output| output.status.success()))?;
    run(arguments, script)
}
