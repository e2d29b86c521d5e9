//! A finger or the mouse on one small thing of a drawing, to be dragged. The sheet below stays where it is meanwhile.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use web_sys::{Element, PointerEvent};

use super::{Listener, Trouble, page};

/// What a hand does with what it holds. Distances are in CSS pixels from where it was taken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Grasp {
    /// It is held so far to the right and down.
    Held {
        /// To the right.
        right: f64,
        /// Down.
        down: f64,
    },
    /// It was let go where it was held last.
    LetGo,
    /// The hand was taken away by something else, such as a call: nothing is meant by it.
    Lost,
}

/// Watches a thing until this is dropped.
#[derive(Debug)]
#[must_use = "the watching ends when this is dropped"]
pub struct Grip {
    _listeners: Vec<Listener>,
}

/// The pointer that holds, and where it took hold.
type Holding = Rc<Cell<Option<(i32, f64, f64)>>>;

impl Grip {
    /// Tells what a hand does with `thing`. A tap without a move is a click as everywhere, and told as such by the browser.
    pub fn over(thing: &Element, tell: impl FnMut(Grasp) + 'static) -> Result<Self, Trouble> {
        let tell = Rc::new(RefCell::new(tell));
        let holding: Holding = Rc::default();
        // A finger on it must not scroll the page. Inside a drawing not every browser heeds `touch-action`.
        let mut listeners = vec![Listener::on_active(
            thing,
            "touchstart",
            |event: web_sys::Event| event.prevent_default(),
        )?];
        {
            let (thing_in, holding) = (thing.clone(), Rc::clone(&holding));
            listeners.push(Listener::on(
                thing,
                "pointerdown",
                move |event: PointerEvent| {
                    if event.button() != 0 || holding.get().is_some() {
                        return;
                    }
                    // Else the sheet would move as well.
                    event.stop_propagation();
                    let at = (f64::from(event.client_x()), f64::from(event.client_y()));
                    holding.set(Some((event.pointer_id(), at.0, at.1)));
                    page::note_trouble(
                        thing_in
                            .set_pointer_capture(event.pointer_id())
                            .map_err(super::thrown),
                    );
                },
            )?);
        }
        {
            let (holding, tell) = (Rc::clone(&holding), Rc::clone(&tell));
            listeners.push(Listener::on(
                thing,
                "pointermove",
                move |event: PointerEvent| {
                    let Some((id, x, y)) = holding.get() else {
                        return;
                    };
                    if id == event.pointer_id() {
                        event.stop_propagation();
                        (tell.borrow_mut())(Grasp::Held {
                            right: f64::from(event.client_x()) - x,
                            down: f64::from(event.client_y()) - y,
                        });
                    }
                },
            )?);
        }
        for (ended, how) in [
            ("pointerup", Grasp::LetGo),
            ("pointercancel", Grasp::Lost),
            ("lostpointercapture", Grasp::Lost),
        ] {
            let (holding, tell) = (Rc::clone(&holding), Rc::clone(&tell));
            listeners.push(Listener::on(thing, ended, move |event: PointerEvent| {
                let held = holding
                    .get()
                    .is_some_and(|(id, _, _)| id == event.pointer_id());
                if held {
                    event.stop_propagation();
                    holding.set(None);
                    (tell.borrow_mut())(how);
                }
            })?);
        }
        Ok(Self {
            _listeners: listeners,
        })
    }
}
