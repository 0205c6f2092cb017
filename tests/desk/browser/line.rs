//! A line between browser and desk that can be cut, or lose what the desk answers: it stands between them as a router does.

use std::{
    io::{Read, Write},
    net::{Shutdown, TcpListener, TcpStream},
    sync::{Arc, Mutex},
    thread::spawn,
};

/// What the line does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    Whole,
    /// What the browser sends arrives; what the desk answers is lost.
    Deaf,
    /// Nothing arrives.
    Cut,
}

/// A line to a desk.
#[derive(Clone)]
pub struct Line {
    port: u16,
    state: Arc<Mutex<State>>,
    open: Arc<Mutex<Vec<TcpStream>>>,
}

impl Line {
    /// A whole line to a desk at this host.
    pub fn to(host: &str) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let port = listener.local_addr().unwrap().port();
        let line = Self { port, state: Arc::new(Mutex::new(State::Whole)), open: Arc::default() };
        let (own, host) = (line.clone(), host.to_owned());
        spawn(move || listener.incoming().flatten().for_each(|browser| own.join(&browser, &host)));
        line
    }

    /// Where the browser finds it.
    pub fn port(&self) -> u16 {
        self.port
    }

    /// Connections that are open are ended when the line is cut.
    pub fn set(&self, state: State) {
        *self.state.lock().unwrap() = state;
        if state == State::Cut {
            self.open.lock().unwrap().drain(..).for_each(|stream| drop(stream.shutdown(Shutdown::Both)));
        }
    }

    fn join(&self, browser: &TcpStream, host: &str) {
        if self.state() == State::Cut {
            return;
        }
        let Ok(desk) = TcpStream::connect(host) else { return };
        let other = |stream: &TcpStream| stream.try_clone().unwrap();
        self.open.lock().unwrap().extend([other(browser), other(&desk)]);
        let (there, back) = ((other(browser), other(&desk)), (desk, other(browser)));
        let line = self.clone();
        spawn(move || carry(there.0, there.1, || true));
        spawn(move || carry(back.0, back.1, || line.state() == State::Whole));
    }

    fn state(&self) -> State {
        *self.state.lock().unwrap()
    }
}

/// Carries bytes until one side closes, or they are lost.
fn carry(mut from: TcpStream, mut to: TcpStream, arrives: impl Fn() -> bool) {
    let mut piece = [0; 16 * 1024];
    while let Ok(length @ 1..) = from.read(&mut piece) {
        if !arrives() || to.write_all(&piece[..length]).is_err() {
            break;
        }
    }
    let _ = (from.shutdown(Shutdown::Both), to.shutdown(Shutdown::Both));
}
