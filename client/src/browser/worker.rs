//! The service worker: registering it, and handing over to a newer build when the person agrees.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Event, RegistrationOptions, ServiceWorkerContainer, ServiceWorkerRegistration,
    ServiceWorkerState, ServiceWorkerUpdateViaCache,
};

use super::{Listener, Trouble, page, thrown, window};

const SCRIPT: &str = "/service_worker.js";

/// The registered worker. Dropping it stops the listening, not the worker.
#[derive(Debug)]
pub struct Worker {
    registration: ServiceWorkerRegistration,
    _listeners: [Listener; 2],
}

/// Registers the worker. `update_waits` is called whenever a newer build is on the phone and waits to take over.
/// When it has taken over, every tab is loaded anew, so that no tab mixes two builds.
pub async fn register(update_waits: impl Fn() + 'static) -> Result<Worker, Trouble> {
    let container = container()?;
    let options = RegistrationOptions::new();
    options.set_update_via_cache(ServiceWorkerUpdateViaCache::None);
    // The first worker of a fresh phone also takes control; that is no change of build.
    let had_worker = container.controller().is_some();
    let registering = container.register_with_options(SCRIPT, &options);
    let registration: ServiceWorkerRegistration = JsFuture::from(registering)
        .await
        .map_err(thrown)?
        .dyn_into()
        .map_err(thrown)?;
    let update_waits = Rc::new(update_waits);
    if had_worker && registration.waiting().is_some() {
        update_waits();
    }
    let found = {
        let registration = registration.clone();
        Listener::on(&registration.clone(), "updatefound", move |_: Event| {
            page::note_trouble(tell_when_installed(&registration, &update_waits));
        })?
    };
    let changed = Listener::on(&container, "controllerchange", move |_: Event| {
        if had_worker {
            page::reload();
        }
    })?;
    Ok(Worker {
        registration,
        _listeners: [found, changed],
    })
}

impl Worker {
    /// Asks a waiting build to take over; the page is loaded anew when it has.
    pub fn take_over(&self) -> Result<(), Trouble> {
        match self.registration.waiting() {
            Some(waiting) => waiting.post_message(&"take-over".into()).map_err(thrown),
            None => Ok(()),
        }
    }

    /// Looks whether the server has a newer build.
    pub async fn look_for_update(&self) -> Result<(), Trouble> {
        let looking = self.registration.update().map_err(thrown)?;
        JsFuture::from(looking)
            .await
            .map(|_| ())
            .map_err(|_no_answer| Trouble::NoSignal)
    }
}

// The worker lives as long as its listener has something to wait for; the listener goes with it.
fn tell_when_installed(
    registration: &ServiceWorkerRegistration,
    update_waits: &Rc<impl Fn() + 'static>,
) -> Result<(), Trouble> {
    let (Some(worker), true) = (registration.installing(), registration.active().is_some()) else {
        return Ok(());
    };
    let update_waits = Rc::clone(update_waits);
    let watched = worker.clone();
    let listener = Listener::on(&worker, "statechange", move |_: Event| {
        if watched.state() == ServiceWorkerState::Installed {
            update_waits();
        }
    })?;
    std::mem::forget(listener);
    Ok(())
}

fn container() -> Result<ServiceWorkerContainer, Trouble> {
    let navigator = window()?.navigator();
    // Absent on pages that came without encryption, except from the phone itself.
    if js_sys::Reflect::has(&navigator, &"serviceWorker".into()).unwrap_or(false) {
        Ok(navigator.service_worker())
    } else {
        Err(Trouble::Missing("opening without signal"))
    }
}
