//! One WebSocket of text frames. It opens, speaks, and closes; when to try again is decided elsewhere.

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::{CloseEvent, Event, MessageEvent, WebSocket};

use super::{Listener, Trouble, page, thrown};

/// What a socket tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SocketEvent {
    /// It is open; frames may be sent.
    Opened,
    /// A text frame came.
    Text(String),
    /// A frame came that is no text; this service sends none.
    NotText,
    /// It is closed, or never opened. The last event.
    Closed {
        /// The closing code of RFC 6455; 1006 if the connection broke.
        code: u16,
        /// The server's words, often none.
        reason: String,
    },
}

/// An open or opening socket. Dropping it closes it, with no further event.
#[must_use = "dropping the socket closes it"]
pub struct Socket {
    socket: WebSocket,
    _listeners: [Listener; 3],
}

impl Socket {
    /// Opens a socket to this path of the page's own server.
    pub fn open(path: &str, tell: impl FnMut(SocketEvent) + 'static) -> Result<Self, Trouble> {
        let socket = WebSocket::new(&address(path)?).map_err(thrown)?;
        let tell = Rc::new(RefCell::new(tell));
        let opened = {
            let tell = Rc::clone(&tell);
            Listener::on(&socket, "open", move |_: Event| {
                (tell.borrow_mut())(SocketEvent::Opened);
            })?
        };
        let came = {
            let tell = Rc::clone(&tell);
            Listener::on(&socket, "message", move |event: MessageEvent| {
                let text = event.data().as_string();
                (tell.borrow_mut())(text.map_or(SocketEvent::NotText, SocketEvent::Text));
            })?
        };
        // An "error" event says nothing more than the "close" that always follows it.
        let closed = Listener::on(&socket, "close", move |event: CloseEvent| {
            (tell.borrow_mut())(SocketEvent::Closed {
                code: event.code(),
                reason: event.reason(),
            });
        })?;
        Ok(Self {
            socket,
            _listeners: [opened, came, closed],
        })
    }

    /// Sends a text frame.
    pub fn send(&self, text: &str) -> Result<(), Trouble> {
        if self.socket.ready_state() == WebSocket::OPEN {
            self.socket.send_with_str(text).map_err(thrown)
        } else {
            Err(Trouble::NoSignal)
        }
    }

    /// Bytes that were handed over but have not left the phone.
    pub fn unsent(&self) -> u32 {
        self.socket.buffered_amount()
    }

    /// Begins to close; `Closed` follows.
    pub fn close(&self) {
        // Closing a socket without a code cannot be refused.
        let _ = self.socket.close();
    }
}

impl Drop for Socket {
    fn drop(&mut self) {
        self.close();
    }
}

impl std::fmt::Debug for Socket {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Socket")
            .field("state", &self.socket.ready_state())
            .finish_non_exhaustive()
    }
}

fn address(path: &str) -> Result<String, Trouble> {
    let origin = page::origin()?;
    // "http" becomes "ws", "https" becomes "wss".
    let rest = origin
        .strip_prefix("http")
        .ok_or(Trouble::Missing("an address on the web"))?;
    Ok(format!("ws{rest}{path}"))
}
