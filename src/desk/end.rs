//! What goes on beside the answers: the signal to end, and the day's backup.

use std::{io, sync::Arc, time::Duration};

use super::state::{Desk, on_a_thread};
use crate::job::back_up_if_due;

/// How often it is looked whether today's backup is due.
const BACKUPS: Duration = Duration::from_mins(10);

/// Waits until the system, or the user with Ctrl+C, asks the program to end.
#[cfg(unix)]
pub(super) async fn end_signal() -> io::Result<()> {
    use tokio::signal::unix::{SignalKind, signal};
    let (mut ended, mut hung_up) = (signal(SignalKind::terminate())?, signal(SignalKind::hangup())?);
    tokio::select! {
        heard = tokio::signal::ctrl_c() => heard,
        _ = ended.recv() => Ok(()),
        _ = hung_up.recv() => Ok(()),
    }
}

/// Waits until the system, or the user with Ctrl+C, asks the program to end.
#[cfg(windows)]
pub(super) async fn end_signal() -> io::Result<()> {
    use tokio::signal::windows::{ctrl_break, ctrl_close, ctrl_shutdown};
    let (mut broken, mut closed, mut shut) = (ctrl_break()?, ctrl_close()?, ctrl_shutdown()?);
    tokio::select! {
        heard = tokio::signal::ctrl_c() => heard,
        _ = broken.recv() => Ok(()),
        _ = closed.recv() => Ok(()),
        _ = shut.recv() => Ok(()),
    }
}

/// Makes the day's backup once something was changed; a desk may be open for weeks.
pub(super) async fn look_after_backups(desk: Arc<Desk>) {
    loop {
        tokio::time::sleep(BACKUPS).await;
        let desk = Arc::clone(&desk);
        // One that fails is tried again, and told of when the desk ends.
        let _ = on_a_thread(move || Ok(back_up_if_due(&desk.writer())?)).await;
    }
}
