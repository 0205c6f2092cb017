//! Opening the register: what a crash left behind is settled, and a risky place is warned of.

use std::path::{Component, Path, PathBuf};

use crate::{
    output::sha256,
    register::{Access, Register, RegisterError, Settled},
};

/// An open register and what there is to say about it.
#[derive(Debug)]
pub struct Opened {
    /// The register.
    pub register: Register,
    /// Whether it was made just now.
    pub created: bool,
    /// Runs that were left half-way and are settled now.
    pub settled: Vec<Settled>,
    /// Why its place is risky.
    pub warning: Option<PlaceWarning>,
}

/// Why the register's place is risky.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlaceWarning {
    /// The folder looks like one that a service copies elsewhere while the register changes.
    #[error(
        "the register `{0}` seems to lie in a folder that a service syncs: a copy taken during a change can be broken, so keep it outside and put backups there"
    )]
    Synced(PathBuf),
    /// The folder is on another machine.
    #[error(
        "the register `{0}` lies on a network drive: two computers that write at once can break it, so keep it on a disk of this one"
    )]
    Network(PathBuf),
}

/// Opens a register, settles its runs and looks at its place.
///
/// # Errors
/// [`RegisterError`].
pub fn open(path: &Path, access: Access) -> Result<Opened, RegisterError> {
    let created = path.metadata().map_or(true, |found| found.len() == 0);
    let mut register = Register::open(path, access)?;
    let settled = register.settle_runs(sha256)?;
    let warning = warning(register.path());
    Ok(Opened { register, created, settled, warning })
}

fn warning(path: &Path) -> Option<PlaceWarning> {
    if is_on_network(path) {
        return Some(PlaceWarning::Network(path.to_owned()));
    }
    let folders = path.parent().into_iter().flat_map(Path::components);
    folders.into_iter().any(looks_synced).then(|| PlaceWarning::Synced(path.to_owned()))
}

/// Words in the names that syncing services give their folders (from memory, no list is complete).
fn looks_synced(folder: Component<'_>) -> bool {
    let Component::Normal(name) = folder else { return false };
    let name = name.to_string_lossy().to_lowercase();
    ["cloud", "sync", "drive"].iter().any(|word| name.contains(word)) || name.ends_with("box") && name.len() > 3
}

/// Windows writes a network place as `\\server\share`; Linux tells by the kind of file system.
fn is_on_network(path: &Path) -> bool {
    is_unc(&path.to_string_lossy())
        || std::fs::read_to_string("/proc/self/mounts").is_ok_and(|mounts| is_network_mount(path, &mounts))
}

/// `\\?\C:\…` is a long way to write a local path.
fn is_unc(path: &str) -> bool {
    path.starts_with(r"\\?\UNC\") || (path.starts_with(r"\\") && !path.starts_with(r"\\?\"))
}

/// Whether the nearest mount point above a path is of a network file system.
fn is_network_mount(path: &Path, mounts: &str) -> bool {
    let entries = mounts.lines().filter_map(|line| {
        let mut fields = line.split(' ').skip(1);
        // Spaces in names are written as octal numbers there (proc(5)).
        Some((PathBuf::from(fields.next()?.replace("\\040", " ")), fields.next()?))
    });
    let nearest =
        entries.filter(|(point, _)| path.starts_with(point)).max_by_key(|(point, _)| point.components().count());
    nearest.is_some_and(|(_, kind)| ["nfs", "cifs", "smb", "sshfs", "9p", "afs"].iter().any(|word| kind.contains(word)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn synced_folders_and_network_drives_are_told() {
        for synced in ["/home/a/My Cloud/stow.db", "/home/a/SyncFolder/x/stow.db", "/Users/a/CloudStorage/b.db"] {
            assert!(matches!(warning(Path::new(synced)), Some(PlaceWarning::Synced(_))), "{synced}");
        }
        assert_eq!(warning(Path::new("/home/a/stock/stow.db")), None);
        assert_eq!(warning(Path::new("/home/a/box/cloud.db")), None);
        assert!(matches!(warning(Path::new(r"\\server\share\stow.db")), Some(PlaceWarning::Network(_))));
        let mounts = "dev / ext4 rw 0 0\nserver:/x /home/my\\040net nfs4 rw 0 0\n";
        assert!(is_network_mount(Path::new("/home/my net/a.db"), mounts));
        assert!(!is_unc(r"\\?\C:\stow.db") && is_unc(r"\\?\UNC\server\share\stow.db"));
        assert!(!is_network_mount(Path::new("/home/a.db"), mounts));
    }
}
