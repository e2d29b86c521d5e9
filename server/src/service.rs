//! Starting and stopping the service: used by the program and by tests alike.

use std::fs::File;
use std::net::{SocketAddr, TcpListener};
use std::path::Path;
use std::sync::Arc;
use std::thread::JoinHandle;

use actix_web::dev::ServerHandle;
use actix_web::rt::{System, signal};
use actix_web::{HttpServer, web};
use thiserror::Error;
use tokio::sync::mpsc;

use crate::accounts;
use crate::auth::{AccessTokens, Buckets, DeviceCookie, Origins, Passphrases};
use crate::chance;
use crate::clock::SharedClock;
use crate::config::Config;
use crate::error::AppError;
use crate::rooms::{Desk, Hall, Keeper};
use crate::routes;
use crate::secret::AccessKey;
use crate::state::{State, Time};
use crate::store::readers::Readers;
use crate::store::rows::Write;
use crate::store::sqlite::SqliteStore;
use crate::store::{Read as _, Store as _, StoreError, value};

/// The file that is locked while a service uses a data folder.
const LOCK_NAME: &str = "selion.lock";

/// Why the service cannot start.
#[derive(Debug, Error)]
pub enum StartError {
    /// Another one uses the data.
    #[error("a service is already running on the data in {0}")]
    InUse(String),
    /// The storage cannot be opened.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The address cannot be listened on.
    #[error("cannot listen on {address}: {cause}")]
    Listen {
        /// Which address.
        address: SocketAddr,
        /// What the system says.
        cause: std::io::Error,
    },
    /// The system refuses something else.
    #[error("cannot start: {0}")]
    System(#[from] std::io::Error),
    /// Passphrases cannot be hashed on this machine.
    #[error("cannot start: {0}")]
    Setup(#[from] AppError),
}

/// A service at work. Dropping it stops it.
#[derive(Debug)]
pub struct Running {
    addr: SocketAddr,
    state: web::Data<State>,
    stop: mpsc::UnboundedSender<()>,
    threads: Vec<JoinHandle<()>>,
    _lock: DataLock,
}

/// Keeps other services and imports away from a data folder.
#[derive(Debug)]
pub struct DataLock(#[expect(dead_code, reason = "holding the file open is what locks it")] File);

impl DataLock {
    /// Locks a data folder, which is made if it is not there.
    pub fn take(data: &Path) -> Result<Self, StartError> {
        std::fs::create_dir_all(data)?;
        let file = File::create(data.join(LOCK_NAME))?;
        match file.try_lock() {
            Ok(()) => Ok(Self(file)),
            Err(std::fs::TryLockError::WouldBlock) => {
                Err(StartError::InUse(data.display().to_string()))
            }
            Err(std::fs::TryLockError::Error(error)) => Err(error.into()),
        }
    }
}

/// Starts the service and returns once it answers.
pub fn start(config: Config, clock: SharedClock) -> Result<Running, StartError> {
    let lock = DataLock::take(&config.data)?;
    let address = SocketAddr::new(config.host, config.port);
    let listener =
        TcpListener::bind(address).map_err(|cause| StartError::Listen { address, cause })?;
    let addr = listener.local_addr()?;
    let origins = Origins::new(config.public_origin.as_ref(), addr);

    let mut store = SqliteStore::open(&config.data)?;
    let OwnValues { epoch, access_key } = own_values(&mut store, &origins)?;
    let limits = config.limits.clone();
    let hall = Hall::new(epoch, limits.clone());
    let (keeper, keeping) =
        Keeper::start(Box::new(store), hall, Arc::clone(&clock), limits.clone())?;

    let state = web::Data::new(State {
        cookie: DeviceCookie::new(origins.is_https(), limits.cookie_days),
        access: AccessTokens::new(&access_key, limits.access_minutes),
        passphrases: Passphrases::new(&limits)?,
        readers: Readers::new(config.data.clone()),
        keeper,
        clock: Time(clock),
        tries: Buckets::new(limits.tries_at_once, limits.tries_a_minute).into(),
        origins,
        config,
    });
    let (stop, stopping) = mpsc::unbounded_channel();
    let answering = answer_requests(web::Data::clone(&state), listener, stopping)?;
    Ok(Running {
        addr,
        state,
        stop,
        threads: vec![answering, keeping],
        _lock: lock,
    })
}

impl Running {
    /// The address it listens on.
    pub fn addr(&self) -> SocketAddr {
        self.addr
    }

    /// A link into the service, such as `/join#SECRET`.
    pub fn link(&self, path: &str) -> String {
        format!("{}{path}", self.state.origins.for_links())
    }

    /// Does something on the keeper's thread and waits for it.
    pub fn ask<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Desk<'_>) -> Result<T, AppError> + Send + 'static,
    ) -> Result<T, AppError> {
        self.state.keeper.ask_and_wait(work)
    }

    /// A link with which one garden can be made.
    pub fn new_garden_link(&self) -> Result<String, AppError> {
        let made = self.ask(accounts::new_garden_invite)?;
        Ok(self.link(&format!("/join#{}", made.secret.reveal())))
    }

    /// Whether it holds no garden yet.
    pub fn is_empty(&self) -> Result<bool, AppError> {
        self.ask(|desk| Ok(desk.store.gardens()?.is_empty()))
    }

    /// Waits until it is stopped from elsewhere, by a signal.
    pub fn wait(mut self) {
        self.join();
    }

    /// Stops it: no new requests, those under way are finished, everything decided is written.
    pub fn stop(self) {
        drop(self);
    }

    fn join(&mut self) {
        for thread in self.threads.drain(..) {
            if thread.join().is_err() {
                tracing::error!("a thread of the service panicked");
            }
        }
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        // It may have been stopped by a signal already.
        let _stopped = self.stop.send(());
        self.join();
    }
}

/// The service's own values.
struct OwnValues {
    epoch: [u8; 16],
    access_key: AccessKey,
}

/// Reads the service's own values, making those that are not there yet.
fn own_values(store: &mut SqliteStore, origins: &Origins) -> Result<OwnValues, StoreError> {
    let mut writes = vec![Write::SetValue(
        value::ORIGIN,
        origins.for_links().as_bytes().to_vec(),
    )];
    let stored = store
        .value(value::EPOCH)?
        .and_then(|bytes| bytes.try_into().ok());
    let epoch = stored.unwrap_or_else(|| {
        let fresh = chance::bytes::<16>();
        writes.push(Write::SetValue(value::EPOCH, fresh.to_vec()));
        fresh
    });
    let stored = store.value(value::ACCESS_KEY)?.map(AccessKey::from_bytes);
    let access_key = stored.unwrap_or_else(|| {
        let fresh = AccessKey::fresh();
        writes.push(Write::SetValue(
            value::ACCESS_KEY,
            fresh.as_bytes().to_vec(),
        ));
        fresh
    });
    store.commit(&writes)?;
    Ok(OwnValues { epoch, access_key })
}

/// Answers requests on a thread of its own until a signal or a word on the channel stops it.
fn answer_requests(
    state: web::Data<State>,
    listener: TcpListener,
    stopping: mpsc::UnboundedReceiver<()>,
) -> Result<JoinHandle<()>, StartError> {
    let (told, ready) = std::sync::mpsc::sync_channel(1);
    let thread = std::thread::Builder::new()
        .name("server".to_owned())
        .spawn(move || {
            System::new().block_on(async move {
                let settings = &state.config;
                let for_workers = web::Data::clone(&state);
                let server = HttpServer::new(move || routes::app(web::Data::clone(&for_workers)))
                    .workers(settings.workers)
                    // An answer and the news that follows it are two small packets; the second must not wait for the
                    // other side's acknowledgement of the first, which many systems hold back for 40 ms.
                    .tcp_nodelay(true)
                    .shutdown_timeout(settings.stop_within.as_secs())
                    .disable_signals()
                    .listen(listener)
                    .map(HttpServer::run);
                match server {
                    Ok(server) => {
                        actix_web::rt::spawn(stop_when_told(
                            server.handle(),
                            web::Data::clone(&state),
                            stopping,
                        ));
                        // Whoever started it waits for this word.
                        let _waiting = told.send(Ok(()));
                        if let Err(error) = server.await {
                            tracing::error!(%error, "the server failed");
                        }
                    }
                    Err(error) => {
                        let _waiting = told.send(Err(error));
                    }
                }
                state.keeper.stop().await;
            });
        })?;
    match ready.recv() {
        Ok(outcome) => outcome?,
        Err(_gone) => return Err(std::io::Error::other("the server's thread ended at once").into()),
    }
    Ok(thread)
}

/// Stops gently: first the keeper, which writes what it has and says goodbye to every socket, then the requests.
async fn stop_when_told(
    server: ServerHandle,
    state: web::Data<State>,
    mut stopping: mpsc::UnboundedReceiver<()>,
) {
    let signals = state.config.stop_on_signals;
    tokio::select! {
        _ = stopping.recv() => {}
        () = signalled(), if signals => tracing::info!("stopping"),
    }
    state.keeper.stop().await;
    server.stop(true).await;
}

/// Waits for the signal by which the system, or somebody at the keyboard, asks the program to stop.
async fn signalled() {
    let terminate = signal::unix::signal(signal::unix::SignalKind::terminate());
    match terminate {
        Ok(mut terminate) => {
            tokio::select! {
                _ = terminate.recv() => {}
                _ = signal::ctrl_c() => {}
            }
        }
        Err(error) => {
            tracing::warn!(%error, "only the keyboard can stop the program");
            let _pressed = signal::ctrl_c().await;
        }
    }
}
