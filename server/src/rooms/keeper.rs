//! The keeper: one thread that owns the store and the hall, and the queue in front of it.
//!
//! Whatever has arrived while the last turn was written makes the next turn, so that the more there is to do, the more
//! edits share one commit. Account work goes through the same queue as a [`Desk`] task: it may decide and write without
//! anybody getting in between.

use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::thread::JoinHandle;

use selion_core::quantities::Moment;
use tokio::sync::{mpsc, oneshot};

use super::hall::{Arrival, Attendee, Effect, Hall, SessionId};
use super::outgoing::{Outgoing, ToSend};
use crate::clock::SharedClock;
use crate::config::Limits;
use crate::error::AppError;
use crate::store::Store;

/// Messages taken into one turn at most; the hall writes earlier when they carry many edits.
const MESSAGES_IN_TURN: usize = 256;

/// The close code of a service that goes and will be back (RFC 6455's registry: service restart).
const CLOSE_RESTART: u16 = 1012;

/// Everything account work needs, for as long as it runs.
pub struct Desk<'a> {
    /// The store.
    pub store: &'a mut dyn Store,
    /// The gardens.
    pub hall: &'a mut Hall,
    /// The time.
    pub now: Moment,
    /// The limits.
    pub limits: &'a Limits,
    effects: Vec<Effect>,
}

impl<'a> Desk<'a> {
    /// A desk over a store and a hall.
    pub fn new(
        store: &'a mut dyn Store,
        hall: &'a mut Hall,
        now: Moment,
        limits: &'a Limits,
    ) -> Self {
        Self {
            store,
            hall,
            now,
            limits,
            effects: Vec::new(),
        }
    }

    /// Has something done for connections once the work is finished.
    pub fn also(&mut self, effects: Vec<Effect>) {
        self.effects.extend(effects);
    }
}

impl fmt::Debug for Desk<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Desk")
            .field("now", &self.now)
            .finish_non_exhaustive()
    }
}

type Task = Box<dyn FnOnce(&mut Desk<'_>) + Send>;

enum Message {
    Open(SessionId, Attendee, Arc<Outgoing>),
    Frame(SessionId, String),
    Closed(SessionId),
    Exchange(
        SessionId,
        Attendee,
        Vec<String>,
        oneshot::Sender<Vec<Arc<str>>>,
    ),
    Task(Task),
    Stop,
}

/// The way to the keeper's thread.
#[derive(Clone)]
pub struct Keeper {
    queue: mpsc::Sender<Message>,
    next_session: Arc<AtomicU64>,
}

impl fmt::Debug for Keeper {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Keeper")
            .field("room_in_queue", &self.queue.capacity())
            .finish_non_exhaustive()
    }
}

impl Keeper {
    /// Starts the thread.
    pub fn start(
        store: Box<dyn Store>,
        hall: Hall,
        clock: SharedClock,
        limits: Limits,
    ) -> std::io::Result<(Self, JoinHandle<()>)> {
        let (queue, messages) = mpsc::channel(limits.queued_requests.max(1));
        let work = Work {
            store,
            hall,
            clock,
            limits,
            messages,
            connections: HashMap::new(),
        };
        let thread = std::thread::Builder::new()
            .name("keeper".to_owned())
            .spawn(move || work.run())?;
        Ok((
            Self {
                queue,
                next_session: Arc::new(AtomicU64::new(1)),
            },
            thread,
        ))
    }

    /// Does account work on the keeper's thread and gives back what it answers.
    pub async fn ask<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Desk<'_>) -> Result<T, AppError> + Send + 'static,
    ) -> Result<T, AppError> {
        let (reply, answer) = oneshot::channel();
        self.put(Box::new(move |desk| {
            // Whoever asked may be gone; the work is done all the same.
            let _gone = reply.send(work(desk));
        }))?;
        answer.await.map_err(|_stopped| AppError::Busy)?
    }

    /// The same, holding up the thread that asks.
    pub fn ask_and_wait<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Desk<'_>) -> Result<T, AppError> + Send + 'static,
    ) -> Result<T, AppError> {
        let (reply, answer) = std::sync::mpsc::sync_channel(1);
        self.put(Box::new(move |desk| {
            // Whoever asked may be gone; the work is done all the same.
            let _gone = reply.send(work(desk));
        }))?;
        answer.recv().map_err(|_stopped| AppError::Busy)?
    }

    fn put(&self, task: Task) -> Result<(), AppError> {
        self.queue
            .try_send(Message::Task(task))
            .map_err(|_full| AppError::Busy)
    }

    /// Opens a session whose frames are put into `outgoing`.
    pub async fn open(
        &self,
        who: Attendee,
        outgoing: Arc<Outgoing>,
    ) -> Result<SessionId, AppError> {
        let session = SessionId(self.next_session.fetch_add(1, Ordering::Relaxed));
        self.queue
            .send(Message::Open(session, who, outgoing))
            .await
            .map_err(|_stopped| AppError::Busy)?;
        Ok(session)
    }

    /// Hands on a frame. Waits while the queue is full, which slows down this connection alone.
    pub async fn frame(&self, session: SessionId, text: String) -> Result<(), AppError> {
        self.queue
            .send(Message::Frame(session, text))
            .await
            .map_err(|_stopped| AppError::Busy)
    }

    /// Says that a session's connection is gone.
    pub async fn closed(&self, session: SessionId) {
        // When the keeper has stopped there is nobody left who needs to know.
        let _stopped = self.queue.send(Message::Closed(session)).await;
    }

    /// Hands in frames and gets back all that is answered to them: a session as short as one request.
    pub async fn exchange(
        &self,
        who: Attendee,
        frames: Vec<String>,
    ) -> Result<Vec<Arc<str>>, AppError> {
        let session = SessionId(self.next_session.fetch_add(1, Ordering::Relaxed));
        let (reply, answer) = oneshot::channel();
        self.queue
            .try_send(Message::Exchange(session, who, frames, reply))
            .map_err(|_full| AppError::Busy)?;
        answer.await.map_err(|_stopped| AppError::Busy)
    }

    /// Asks the thread to finish what it has, say goodbye to every connection and stop.
    pub async fn stop(&self) {
        // It may have stopped before.
        let _stopped = self.queue.send(Message::Stop).await;
    }
}

struct Work {
    store: Box<dyn Store>,
    hall: Hall,
    clock: SharedClock,
    limits: Limits,
    messages: mpsc::Receiver<Message>,
    connections: HashMap<SessionId, Arc<Outgoing>>,
}

/// What one turn gathers.
#[derive(Default)]
struct Gathered {
    arrivals: Vec<Arrival>,
    exchanges: Vec<(SessionId, oneshot::Sender<Vec<Arc<str>>>)>,
}

impl Work {
    fn run(mut self) {
        while let Some(first) = self.messages.blocking_recv() {
            let mut gathered = Gathered::default();
            let mut next = Some(first);
            let mut taken = 0;
            while let Some(message) = next {
                if self.take(message, &mut gathered) {
                    self.turn(gathered);
                    return self.say_goodbye();
                }
                taken += 1;
                next = if taken < MESSAGES_IN_TURN {
                    self.messages.try_recv().ok()
                } else {
                    None
                };
            }
            self.turn(gathered);
        }
    }

    /// Takes one message; true when it is the last.
    fn take(&mut self, message: Message, gathered: &mut Gathered) -> bool {
        match message {
            Message::Open(session, who, outgoing) => {
                self.connections.insert(session, outgoing);
                gathered.arrivals.push(Arrival::Opened(session, who));
            }
            Message::Frame(session, text) => gathered.arrivals.push(Arrival::Frame(session, text)),
            Message::Closed(session) => {
                self.connections.remove(&session);
                gathered.arrivals.push(Arrival::Closed(session));
            }
            Message::Exchange(session, who, frames, reply) => {
                let collected = Outgoing::new(usize::MAX, usize::MAX);
                self.connections.insert(session, Arc::new(collected));
                gathered.arrivals.push(Arrival::Opened(session, who));
                gathered
                    .arrivals
                    .extend(frames.into_iter().map(|text| Arrival::Frame(session, text)));
                gathered.exchanges.push((session, reply));
            }
            Message::Task(task) => {
                self.turn(std::mem::take(gathered));
                let now = self.clock.now();
                let mut desk = Desk::new(self.store.as_mut(), &mut self.hall, now, &self.limits);
                task(&mut desk);
                let effects = desk.effects;
                self.deliver(effects);
            }
            Message::Stop => return true,
        }
        false
    }

    fn turn(&mut self, gathered: Gathered) {
        if gathered.arrivals.is_empty() {
            return;
        }
        let effects = self
            .hall
            .turn(self.store.as_mut(), self.clock.now(), gathered.arrivals);
        self.deliver(effects);
        for (session, reply) in gathered.exchanges {
            let frames = self
                .connections
                .remove(&session)
                .map(|collected| drain(&collected))
                .unwrap_or_default();
            // Whoever asked may be gone; then the phone asks again and gets the same answers.
            let _gone = reply.send(frames);
            let closed = self.hall.turn(
                self.store.as_mut(),
                self.clock.now(),
                vec![Arrival::Closed(session)],
            );
            self.deliver(closed);
        }
    }

    fn say_goodbye(&self) {
        for outgoing in self.connections.values() {
            // A close always finds room.
            let _fits = outgoing.put(ToSend::Close {
                code: CLOSE_RESTART,
            });
        }
    }

    fn deliver(&mut self, effects: Vec<Effect>) {
        let mut stalled = Vec::new();
        for effect in effects {
            let (session, item) = match effect {
                Effect::Send(session, text) => (session, ToSend::Frame(text)),
                Effect::Close(session, code) => (session, ToSend::Close { code }),
            };
            let Some(outgoing) = self.connections.get(&session) else {
                continue;
            };
            if !outgoing.put(item) {
                stalled.push(Arrival::Stalled(session));
            }
        }
        if !stalled.is_empty() {
            // Only marks them: nothing more is sent until they say hello again.
            self.hall
                .turn(self.store.as_mut(), self.clock.now(), stalled);
        }
    }
}

fn drain(collected: &Outgoing) -> Vec<Arc<str>> {
    std::iter::from_fn(|| collected.take())
        .filter_map(|item| match item {
            ToSend::Frame(text) => Some(text),
            ToSend::Close { .. } => None,
        })
        .collect()
}
