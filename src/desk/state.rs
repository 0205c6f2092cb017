//! What the desk holds while it is open: the register, the devices, the links, the works.
//!
//! Start with [`Desk::read`] and [`Desk::change`]: the register is asked on threads of its own, so that a slow disk keeps
//! no other page waiting.

use std::{
    collections::HashMap,
    path::{Path, PathBuf},
    sync::{Arc, Mutex, MutexGuard, PoisonError},
    time::Instant,
};

use tokio::sync::{mpsc, watch};

use super::{
    answer::Refusal, items::Drafts, labels::Previews, pairing::Offers, scan::Sessions, serve::Share,
    settings::LastCheck, shell::Told, work::Works,
};
use crate::{
    output::sha256,
    register::{Access, ChangeId, Device, DeviceId, GroupSync, Register, RegisterError},
};

/// Registers that are kept open for reading.
const READERS: usize = 4;

/// The open desk.
#[derive(Debug)]
pub(super) struct Desk {
    path: PathBuf,
    /// The one register that changes are made through, one after the other.
    writer: Mutex<Register>,
    /// Scans of many devices wait for one sync together.
    syncs: GroupSync,
    readers: Mutex<Vec<Register>>,
    devices: Mutex<HashMap<String, Device>>,
    offers: Mutex<Offers>,
    told: Mutex<HashMap<DeviceId, Told>>,
    /// Its port.
    pub port: u16,
    /// Other names of this computer that browsers may call it by.
    pub names: Vec<String>,
    /// Whether it listens on the local network as well.
    pub shared: watch::Sender<bool>,
    /// Asks for that.
    pub ask_to_share: mpsc::Sender<Share>,
    /// What takes long.
    pub works: Works,
    /// Files that were given and are not in the register yet.
    pub drafts: Drafts,
    /// PDFs that are looked at before they are printed.
    pub previews: Previews,
    /// Scanning sessions.
    pub sessions: Sessions,
    last_check: Mutex<Option<LastCheck>>,
}

/// A lock that a panic has left is taken all the same: what it guards is whole after each statement.
pub(super) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Desk {
    pub(super) fn new(
        writer: Register,
        port: u16,
        names: Vec<String>,
        ask_to_share: mpsc::Sender<Share>,
    ) -> Result<Self, RegisterError> {
        let devices = writer.devices()?.into_iter().map(|device| (device.secret.clone(), device)).collect();
        Ok(Self {
            path: writer.path().to_owned(),
            syncs: writer.group_sync(),
            writer: Mutex::new(writer),
            readers: Mutex::default(),
            devices: Mutex::new(devices),
            offers: Mutex::default(),
            told: Mutex::default(),
            port,
            names,
            shared: watch::Sender::new(false),
            ask_to_share,
            works: Works::default(),
            drafts: Drafts::default(),
            previews: Previews::default(),
            sessions: Sessions::default(),
            last_check: Mutex::default(),
        })
    }

    /// Where the register is.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Asks the register.
    pub(super) async fn read<T, E>(
        self: &Arc<Self>,
        ask: impl FnOnce(&Register) -> Result<T, E> + Send + 'static,
    ) -> Result<T, Refusal>
    where
        T: Send + 'static,
        Refusal: From<E>,
    {
        let desk = Arc::clone(self);
        on_a_thread(move || desk.ask(ask)).await
    }

    /// Asks the register, on a thread that may wait.
    pub(super) fn ask<T, E>(&self, ask: impl FnOnce(&Register) -> Result<T, E>) -> Result<T, Refusal>
    where
        Refusal: From<E>,
    {
        let kept = locked(&self.readers).pop();
        let register = kept.map_or_else(|| Register::open(&self.path, Access::Existing), Ok)?;
        let answer = ask(&register);
        let mut readers = locked(&self.readers);
        if readers.len() < READERS {
            readers.push(register);
        }
        Ok(answer?)
    }

    /// Changes the register; changes are made one after the other.
    pub(super) async fn change<T, E>(
        self: &Arc<Self>,
        make: impl FnOnce(&mut Register) -> Result<T, E> + Send + 'static,
    ) -> Result<T, Refusal>
    where
        T: Send + 'static,
        Refusal: From<E>,
    {
        let desk = Arc::clone(self);
        on_a_thread(move || Ok(make(&mut locked(&desk.writer))?)).await
    }

    /// Changes the register, on a thread that may wait. All that many devices do in these moments is synced to the disk
    /// at once; it is there when this returns.
    pub(super) fn change_together<T, E>(&self, make: impl FnOnce(&mut Register) -> Result<T, E>) -> Result<T, Refusal>
    where
        Refusal: From<E>,
    {
        let (outcome, written) = locked(&self.writer).unsynced(&self.syncs, make)?;
        self.syncs.wait(written)?;
        Ok(outcome?)
    }

    /// Changes the register, and tells the change that a button takes back; none where nothing came out different.
    pub(super) async fn change_noting<T, E>(
        self: &Arc<Self>,
        make: impl FnOnce(&mut Register) -> Result<T, E> + Send + 'static,
    ) -> Result<(T, Option<ChangeId>), Refusal>
    where
        T: Send + 'static,
        Refusal: From<E>,
    {
        let noting = move |register: &mut Register| {
            let (outcome, change) = register.noting(make);
            outcome.map(|value| (value, change)).map_err(Refusal::from)
        };
        let desk = Arc::clone(self);
        on_a_thread(move || noting(&mut locked(&desk.writer))).await
    }

    /// The register that changes are made through, on a thread that may wait.
    pub(super) fn writer(&self) -> MutexGuard<'_, Register> {
        locked(&self.writer)
    }

    /// The register that changes were made through, when the desk has ended.
    pub(super) fn into_register(self) -> Register {
        self.writer.into_inner().unwrap_or_else(PoisonError::into_inner)
    }

    /// The device that shows this secret.
    pub(super) fn device(&self, secret: &str) -> Option<Device> {
        locked(&self.devices).get(&sha256(secret.as_bytes())).cloned()
    }

    /// Takes the devices from the register anew; in turn, so that none comes back that has left meanwhile.
    pub(super) async fn reload_devices(self: &Arc<Self>) -> Result<(), Refusal> {
        let desk = Arc::clone(self);
        on_a_thread(move || {
            let writer = desk.writer();
            let devices = writer.devices()?;
            *locked(&desk.devices) = devices.into_iter().map(|device| (device.secret.clone(), device)).collect();
            Ok(())
        })
        .await
    }

    /// Forgets what a device that has left had begun: its number may be given to another.
    pub(super) fn forget(&self, device: DeviceId) {
        locked(&self.told).remove(&device);
        self.sessions.forget(device);
    }

    /// Notes once a day that a device was there; the answer does not wait for that.
    pub(super) fn saw(self: &Arc<Self>, device: &Device) {
        if device.seen == jiff::ZonedDateTime::now().date().to_string() {
            return;
        }
        let (desk, id) = (Arc::clone(self), device.id);
        tokio::spawn(async move {
            // One that fails is tried with the next request.
            let _ = desk.change(move |register| register.saw_device(id)).await;
            let _ = desk.reload_devices().await;
        });
    }

    /// Links that pair a device.
    pub(super) fn offers(&self) -> MutexGuard<'_, Offers> {
        locked(&self.offers)
    }

    /// The secret of a new link.
    pub(super) fn offer(&self, looks_only: bool) -> std::io::Result<String> {
        self.offers().make(looks_only, Instant::now())
    }

    /// What the last check of the register has found, if there was one.
    pub(super) fn last_check(&self) -> MutexGuard<'_, Option<LastCheck>> {
        locked(&self.last_check)
    }

    /// Says something on the next page that the device sees.
    pub(super) fn tell(&self, device: DeviceId, told: Told) {
        locked(&self.told).insert(device, told);
    }

    /// What is to be said to the device; once.
    pub(super) fn take_told(&self, device: DeviceId) -> Option<Told> {
        locked(&self.told).remove(&device)
    }
}

/// Runs what may wait for a disk, outside of the threads that answer browsers.
pub(super) async fn on_a_thread<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Refusal> + Send + 'static,
) -> Result<T, Refusal> {
    tokio::task::spawn_blocking(work).await.unwrap_or_else(|_| Err(Refusal::broken()))
}
