//! Fingers, mouse and wheel over a drawing, as moves and magnifications. A tap or click stays what it is.

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::{Element, PointerEvent, WheelEvent};

use super::{Listener, Trouble, document, page};

/// What a hand does over a drawing. Points and distances are in CSS pixels from the drawing's top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gesture {
    /// The sheet is moved to the right and down.
    Move {
        /// To the right.
        right: f64,
        /// Down.
        down: f64,
    },
    /// The sheet is magnified about a point.
    Magnify {
        /// By how much; below 1 it shrinks.
        factor: f64,
        /// About where.
        at: (f64, f64),
    },
    /// A finger touched the sheet and left again without a move.
    Tap {
        /// Where.
        at: (f64, f64),
    },
}

/// How far a finger may tremble in a tap.
const TREMBLE: f64 = 8.0;
/// Pixels of wheel for a doubling.
const WHEEL_DOUBLING: f64 = 240.0;

/// Watches a drawing until it is dropped.
#[derive(Debug)]
#[must_use = "the watching ends when this is dropped"]
pub struct Hands {
    _listeners: Vec<Listener>,
}

impl Hands {
    /// Tells each gesture over `drawing`. A wheel alone scrolls the page unless the drawing has the focus or the
    /// control key is down, as it is when two fingers pinch a touch pad.
    pub fn over(drawing: &Element, tell: impl FnMut(Gesture) + 'static) -> Result<Self, Trouble> {
        let tell = Rc::new(RefCell::new(tell));
        let fingers = Rc::new(RefCell::new(Fingers::default()));
        let mut listeners = Vec::new();
        {
            let (drawing_in, fingers) = (drawing.clone(), Rc::clone(&fingers));
            listeners.push(Listener::on(
                drawing,
                "pointerdown",
                move |event: PointerEvent| {
                    if event.button() == 0 {
                        fingers
                            .borrow_mut()
                            .put(event.pointer_id(), place(&drawing_in, &event));
                    }
                },
            )?);
        }
        {
            let (drawing_in, fingers, tell) =
                (drawing.clone(), Rc::clone(&fingers), Rc::clone(&tell));
            listeners.push(Listener::on(
                drawing,
                "pointermove",
                move |event: PointerEvent| {
                    let gestures = fingers
                        .borrow_mut()
                        .moved(event.pointer_id(), place(&drawing_in, &event));
                    if gestures.begun {
                        // From here on the finger moves the sheet, even beyond its edge, and ends in no click.
                        page::note_trouble(
                            drawing_in
                                .set_pointer_capture(event.pointer_id())
                                .map_err(super::thrown),
                        );
                    }
                    for gesture in gestures.made.into_iter().flatten() {
                        (tell.borrow_mut())(gesture);
                    }
                },
            )?);
        }
        listeners.extend(lifting(drawing, &fingers, &tell)?);
        let drawing_in = drawing.clone();
        listeners.push(Listener::on_active(
            drawing,
            "wheel",
            move |event: WheelEvent| {
                if event.ctrl_key() || event.meta_key() || has_focus(&drawing_in) {
                    event.prevent_default();
                    let factor = (-pixels(&event) / WHEEL_DOUBLING).exp2();
                    (tell.borrow_mut())(Gesture::Magnify {
                        factor,
                        at: place(&drawing_in, &event),
                    });
                }
            },
        )?);
        Ok(Self {
            _listeners: listeners,
        })
    }
}

/// What ends a finger's stay on the drawing; one that came alone and did not move has tapped.
fn lifting<T: FnMut(Gesture) + 'static>(
    drawing: &Element,
    fingers: &Rc<RefCell<Fingers>>,
    tell: &Rc<RefCell<T>>,
) -> Result<[Listener; 3], Trouble> {
    let (up, tell) = (Rc::clone(fingers), Rc::clone(tell));
    let tapped = Listener::on(drawing, "pointerup", move |event: PointerEvent| {
        let tapped = up.borrow().tapped(event.pointer_id());
        up.borrow_mut().lift(event.pointer_id());
        if let Some(at) = tapped {
            (tell.borrow_mut())(Gesture::Tap { at });
        }
    })?;
    let gone = |name: &'static str| {
        let fingers = Rc::clone(fingers);
        Listener::on(drawing, name, move |event: PointerEvent| {
            fingers.borrow_mut().lift(event.pointer_id());
        })
    };
    Ok([tapped, gone("pointercancel")?, gone("lostpointercapture")?])
}

/// Tells where a mouse is over a drawing while no button is down.
pub fn hovering(
    drawing: &Element,
    mut tell: impl FnMut((f64, f64)) + 'static,
) -> Result<Listener, Trouble> {
    let drawing_in = drawing.clone();
    Listener::on(drawing, "pointermove", move |event: PointerEvent| {
        if event.buttons() == 0 && event.pointer_type() == "mouse" {
            tell(place(&drawing_in, &event));
        }
    })
}

/// The fingers on the drawing: one moves it, two pinch it.
#[derive(Default)]
struct Fingers {
    down: Vec<Finger>,
}

struct Finger {
    id: i32,
    at: (f64, f64),
    /// Whether it has moved further than a finger trembles.
    moving: bool,
}

#[derive(Default)]
struct Moved {
    begun: bool,
    made: [Option<Gesture>; 2],
}

impl Fingers {
    fn put(&mut self, id: i32, at: (f64, f64)) {
        self.lift(id);
        self.down.push(Finger {
            id,
            at,
            moving: false,
        });
    }

    /// Where a finger is that is alone on the drawing and has not moved.
    fn tapped(&self, id: i32) -> Option<(f64, f64)> {
        match self.down.as_slice() {
            [finger] if finger.id == id && !finger.moving => Some(finger.at),
            _ => None,
        }
    }

    fn lift(&mut self, id: i32) {
        self.down.retain(|finger| finger.id != id);
    }

    fn moved(&mut self, id: i32, to: (f64, f64)) -> Moved {
        let two = match self.down.as_slice() {
            [first, second] => Some((middle(first.at, second.at), distance(first.at, second.at))),
            _ => None,
        };
        let Some(finger) = self.down.iter_mut().find(|finger| finger.id == id) else {
            return Moved::default();
        };
        let begun = !finger.moving && distance(finger.at, to) > TREMBLE;
        if !(begun || finger.moving) {
            return Moved::default();
        }
        let from = std::mem::replace(&mut finger.at, to);
        finger.moving = true;
        let Some((middle_before, apart_before)) = two else {
            return Moved {
                begun,
                made: [Some(shift(from, to)), None],
            };
        };
        let (middle_now, apart_now) = match self.down.as_slice() {
            [first, second] => (middle(first.at, second.at), distance(first.at, second.at)),
            _ => (middle_before, apart_before),
        };
        let factor = apart_now / apart_before.max(1.0);
        Moved {
            begun,
            made: [
                Some(shift(middle_before, middle_now)),
                Some(Gesture::Magnify {
                    factor,
                    at: middle_now,
                }),
            ],
        }
    }
}

fn shift(from: (f64, f64), to: (f64, f64)) -> Gesture {
    Gesture::Move {
        right: to.0 - from.0,
        down: to.1 - from.1,
    }
}

fn middle(a: (f64, f64), b: (f64, f64)) -> (f64, f64) {
    (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1))
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

// The event's own offset is measured from whichever shape is under the finger, so it is worked out from the drawing.
fn place(drawing: &Element, event: &web_sys::MouseEvent) -> (f64, f64) {
    let corner = drawing.get_bounding_client_rect();
    (
        f64::from(event.client_x()) - corner.left(),
        f64::from(event.client_y()) - corner.top(),
    )
}

fn has_focus(drawing: &Element) -> bool {
    document()
        .ok()
        .and_then(|page| page.active_element())
        .is_some_and(|element| element == *drawing)
}

// A wheel counts in pixels, lines or pages, as the browser likes.
fn pixels(event: &WheelEvent) -> f64 {
    match event.delta_mode() {
        WheelEvent::DOM_DELTA_LINE => event.delta_y() * 16.0,
        WheelEvent::DOM_DELTA_PAGE => event.delta_y() * 400.0,
        _ => event.delta_y(),
    }
}
