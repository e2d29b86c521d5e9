//! What waits to be sent over one connection. A slow phone fills its own queue and nobody else's.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use selion_core::sync::frame::ServerFrame;
use tokio::sync::Notify;

/// One thing to send.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ToSend {
    /// A frame as text, encoded once for all who get it.
    Frame(Arc<str>),
    /// The connection ends.
    Close {
        /// The close code.
        code: u16,
    },
}

/// The queue of one connection.
#[derive(Debug)]
pub struct Outgoing {
    waiting: Mutex<Waiting>,
    bell: Notify,
    most_frames: usize,
    most_bytes: usize,
}

#[derive(Debug, Default)]
struct Waiting {
    queue: VecDeque<ToSend>,
    bytes: usize,
}

impl Outgoing {
    /// An empty queue with its bounds.
    pub fn new(most_frames: usize, most_bytes: usize) -> Self {
        Self {
            waiting: Mutex::default(),
            bell: Notify::new(),
            most_frames,
            most_bytes,
        }
    }

    /// Queues something. If there is no room for a frame, everything waiting is dropped in favour of one
    /// [`ServerFrame::Resync`], and the answer is false: the phone will say hello again.
    #[must_use]
    pub fn put(&self, item: ToSend) -> bool {
        let mut waiting = self.lock();
        let length = item.length();
        let mut fits = true;
        // A frame that is alone may be as large as it is: a whole document has to get through somehow.
        let full =
            waiting.queue.len() >= self.most_frames || waiting.bytes + length > self.most_bytes;
        if full && !waiting.queue.is_empty() && length > 0 {
            waiting.queue.clear();
            let resync = ToSend::Frame(ServerFrame::Resync.write().into());
            waiting.bytes = resync.length();
            waiting.queue.push_back(resync);
            fits = false;
        } else {
            waiting.bytes += length;
            waiting.queue.push_back(item);
        }
        drop(waiting);
        self.bell.notify_one();
        fits
    }

    /// Waits for the next thing to send.
    pub async fn next(&self) -> ToSend {
        loop {
            if let Some(item) = self.take() {
                return item;
            }
            self.bell.notified().await;
        }
    }

    /// The next thing to send, if there is one.
    pub fn take(&self) -> Option<ToSend> {
        let mut waiting = self.lock();
        let item = waiting.queue.pop_front()?;
        waiting.bytes -= item.length();
        Some(item)
    }

    fn lock(&self) -> MutexGuard<'_, Waiting> {
        self.waiting.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl ToSend {
    fn length(&self) -> usize {
        match self {
            Self::Frame(text) => text.len(),
            Self::Close { .. } => 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(text: &str) -> ToSend {
        ToSend::Frame(text.into())
    }

    #[test]
    fn a_full_queue_is_swapped_for_one_resync() {
        let outgoing = Outgoing::new(3, 1_000);
        assert!(["a", "b", "c"].iter().all(|text| outgoing.put(frame(text))));
        assert!(!outgoing.put(frame("d")));
        assert_eq!(outgoing.take(), Some(frame(&ServerFrame::Resync.write())));
        assert_eq!(outgoing.take(), None);
    }

    #[test]
    fn bytes_are_bounded_too_but_one_large_frame_passes() {
        let outgoing = Outgoing::new(100, 10);
        assert!(
            outgoing.put(frame(&"x".repeat(50))),
            "alone it may be large"
        );
        assert!(!outgoing.put(frame("y")));
        assert!(
            outgoing.put(ToSend::Close { code: 4401 }),
            "a close always fits"
        );
    }

    #[actix_web::test]
    async fn who_waits_is_woken() {
        let outgoing = Arc::new(Outgoing::new(3, 100));
        let waiter = Arc::clone(&outgoing);
        let waiting = actix_web::rt::spawn(async move { waiter.next().await });
        assert!(outgoing.put(frame("a")));
        assert_eq!(waiting.await.unwrap(), frame("a"));
    }
}
