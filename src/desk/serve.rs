//! The server: who may connect, how long anything may take, and how it ends.
//!
//! Start with [`OpenDesk::open`], then [`OpenDesk::serve`].

use std::{
    net::{IpAddr, SocketAddr},
    sync::Arc,
    time::Duration,
};

use axum::Router;
use hyper::service::{Service, service_fn};
use hyper_util::{
    rt::{TokioIo, TokioTimer},
    server::graceful::GracefulShutdown,
    service::TowerToHyperService,
};
use tokio::{
    net::{TcpListener, TcpStream},
    runtime::Runtime,
    sync::{mpsc, oneshot, watch},
    task::JoinSet,
    time::timeout,
};

use super::{
    address::{DeskError, listen_also, listen_around, listen_here, phone_address},
    end::{end_signal, look_after_backups},
    limits::DeskLimits,
    places::Places,
    routes::routes,
    state::Desk,
};
use crate::register::Register;

/// How long open answers may take once the desk is to end.
const LAST_ANSWERS: Duration = Duration::from_secs(1);
/// How long what waits for the disk may take from then on.
const LAST_WORKS: Duration = Duration::from_millis(700);

/// How the desk is opened.
#[derive(Debug, Clone, Default)]
pub struct DeskOptions {
    /// The port, 0 for any; else the first free one of the usual ones.
    pub port: Option<u16>,
    /// Whether it listens on the local network as well.
    pub share: bool,
    /// Other names of this computer on its network.
    pub names: Vec<String>,
    /// What it bears.
    pub limits: DeskLimits,
}

/// A desk that listens, and answers from [`Self::serve`] on.
#[derive(Debug)]
pub struct OpenDesk {
    runtime: Runtime,
    desk: Arc<Desk>,
    here: TcpListener,
    around: Vec<TcpListener>,
    asked: mpsc::Receiver<Share>,
    limits: DeskLimits,
}

/// Wants the desk to listen on all local networks, and is told at which addresses it does.
pub(super) type Share = oneshot::Sender<Vec<IpAddr>>;

impl OpenDesk {
    /// Opens the desk over a register.
    ///
    /// # Errors
    /// [`DeskError`].
    pub fn open(register: Register, options: &DeskOptions) -> Result<Self, DeskError> {
        let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
        let here = runtime.block_on(listen_here(options.port))?;
        let port = here.local_addr()?.port();
        let around = if options.share { runtime.block_on(listen_around(port))? } else { Vec::new() };
        let (ask, asked) = mpsc::channel(1);
        let desk = Arc::new(Desk::new(register, port, options.names.clone(), ask)?);
        desk.shared.send_replace(options.share);
        Ok(Self { runtime, desk, here, around, asked, limits: options.limits })
    }

    /// Its address on this computer.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}/", self.desk.port)
    }

    /// A link for a browser on this computer; it works once, for ten minutes.
    ///
    /// # Errors
    /// [`DeskError::System`] when the system gives no random numbers.
    pub fn link(&self) -> Result<String, DeskError> {
        Ok(format!("{}pair/{}", self.address(), self.desk.offer(false)?))
    }

    /// A link for a phone on the same network; `None` unless the desk is shared.
    ///
    /// # Errors
    /// [`DeskError::System`] when the system gives no random numbers.
    pub fn phone_link(&self) -> Result<Option<String>, DeskError> {
        let address = phone_address().filter(|_| !self.around.is_empty());
        address.map(|ip| Ok(phone_link(ip, self.desk.port, &self.desk.offer(false)?))).transpose()
    }

    /// Answers until the system asks the program to end; then it ends within two seconds. Gives the register back,
    /// unless something still holds it.
    ///
    /// # Errors
    /// [`DeskError::System`] when signals can't be heard.
    pub fn serve(self) -> Result<Option<Register>, DeskError> {
        self.serve_until(end_signal())
    }

    /// The same until something else says so; `end` is asked within the desk's own runtime.
    ///
    /// # Errors
    /// [`DeskError::System`] when `end` fails.
    pub fn serve_until(self, end: impl Future<Output = std::io::Result<()>>) -> Result<Option<Register>, DeskError> {
        let Self { runtime, desk, here, around, asked, limits } = self;
        let door = Door::new(routes(Arc::clone(&desk), &limits), &limits);
        runtime.block_on(serve(&desk, door, (here, around), asked, end))?;
        desk.works.cancel_all();
        runtime.shutdown_timeout(LAST_WORKS);
        Ok(Arc::into_inner(desk).map(Desk::into_register))
    }
}

/// The link that a phone follows to be paired.
pub(super) fn phone_link(address: IpAddr, port: u16, secret: &str) -> String {
    format!("http://{}/pair/{secret}", SocketAddr::new(address, port))
}

/// What all listeners share.
#[derive(Clone)]
struct Door {
    router: Router,
    local: Arc<Places>,
    remote: Arc<Places>,
    head: Duration,
    end: watch::Sender<bool>,
    graceful: Arc<GracefulShutdown>,
}

impl Door {
    fn new(router: Router, limits: &DeskLimits) -> Self {
        Self {
            router,
            local: Places::new(limits.local),
            remote: Places::new(limits.remote),
            head: limits.head,
            end: watch::Sender::new(false),
            graceful: Arc::new(GracefulShutdown::new()),
        }
    }
}

async fn serve(
    desk: &Arc<Desk>,
    door: Door,
    (here, around): (TcpListener, Vec<TcpListener>),
    mut asked: mpsc::Receiver<Share>,
    end: impl Future<Output = std::io::Result<()>>,
) -> Result<(), DeskError> {
    let mut doors = JoinSet::new();
    let address = |listener: &TcpListener| listener.local_addr().ok().map(|address| address.ip());
    let mut heard: Vec<IpAddr> = around.iter().filter_map(address).collect();
    for listener in around.into_iter().chain([here]) {
        doors.spawn(accept(listener, door.clone()));
    }
    let backups = tokio::spawn(look_after_backups(Arc::clone(desk)));
    let mut end = std::pin::pin!(end);
    loop {
        tokio::select! {
            ended = &mut end => { ended?; break }
            Some(share) = asked.recv() => {
                for listener in listen_also(desk.port, &heard).await {
                    heard.extend(address(&listener));
                    doors.spawn(accept(listener, door.clone()));
                }
                desk.shared.send_replace(!heard.is_empty());
                // The page that asked may have gone.
                let _ = share.send(heard.clone());
            }
        }
    }
    backups.abort();
    door.end.send_replace(true);
    while doors.join_next().await.is_some() {}
    if let Some(graceful) = Arc::into_inner(door.graceful) {
        // What is still open then is cut off.
        let _ = timeout(LAST_ANSWERS, graceful.shutdown()).await;
    }
    Ok(())
}

async fn accept(listener: TcpListener, door: Door) {
    let mut ended = door.end.subscribe();
    loop {
        let accepted = tokio::select! {
            accepted = listener.accept() => accepted,
            _ = ended.wait_for(|ended| *ended) => return,
        };
        match accepted {
            Ok((stream, peer)) => answer(stream, peer, &door),
            // Too many open files, say: those that are open go on.
            Err(_) => tokio::time::sleep(Duration::from_millis(50)).await,
        }
    }
}

/// Answers a connection; one too many is dropped.
fn answer(stream: TcpStream, peer: SocketAddr, door: &Door) {
    let places = if peer.ip().is_loopback() { &door.local } else { &door.remote };
    let Some(place) = places.take().map(Arc::new) else { return };
    let _ = stream.set_nodelay(true);
    let mut http = hyper::server::conn::http1::Builder::new();
    http.timer(TokioTimer::new()).header_read_timeout(door.head).max_buf_size(64 * 1024);
    let (router, asked) = (TowerToHyperService::new(door.router.clone()), Arc::clone(&place));
    let service = service_fn(move |request| {
        let (answer, place) = (router.call(request), Arc::clone(&asked));
        async move {
            place.is_asked();
            let answer = answer.await;
            place.waits();
            answer
        }
    });
    let watched = door.graceful.watch(http.serve_connection(TokioIo::new(stream), service));
    tokio::spawn(async move {
        // A browser that goes away is no fault.
        tokio::select! {
            _ = watched => {}
            () = place.left() => {}
        }
    });
}
