//! The register through crashes, full disks and two programs at once.
//!
//! [`support`] has the folder in which the real program runs. Where the program is killed, nothing depends on when: each
//! moment has to leave a register that the next start can settle.

#[path = "commands/support.rs"]
#[allow(dead_code, reason = "the commands are tested with more of it")]
mod support;

#[path = "register/at_once.rs"]
mod at_once;
#[path = "register/crash.rs"]
mod crash;
#[path = "register/full_disk.rs"]
mod full_disk;
#[path = "register/journal.rs"]
mod journal;
#[path = "register/killed.rs"]
mod killed;
#[path = "register/lost.rs"]
mod lost;
#[path = "register/migration.rs"]
mod migration;
#[path = "register/model.rs"]
mod model;
#[path = "register/read_only.rs"]
mod read_only;
#[path = "register/restored.rs"]
mod restored;
#[path = "register/slots.rs"]
mod slots;
#[path = "register/synced.rs"]
mod synced;
#[path = "register/tools.rs"]
mod tools;
