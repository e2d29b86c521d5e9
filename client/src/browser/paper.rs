//! The page while it is printed.

use std::cell::RefCell;
use std::rc::Rc;

use web_sys::Event;

use super::{Listener, Trouble, window};

/// Tells `true` before the page is printed and `false` after, whoever asked for it.
pub fn on_print(tell: impl FnMut(bool) + 'static) -> Result<[Listener; 2], Trouble> {
    let tell = Rc::new(RefCell::new(tell));
    let after = Rc::clone(&tell);
    let window = window()?;
    Ok([
        Listener::on(&window, "beforeprint", move |_: Event| {
            (tell.borrow_mut())(true);
        })?,
        Listener::on(&window, "afterprint", move |_: Event| {
            (after.borrow_mut())(false);
        })?,
    ])
}
