//! The pieces every screen is made of. They draw and tell what was pressed; they hold no rule and know no garden.
//!
//! Each is a function that gives a [`Piece`](crate::piece::Piece), or what becomes one; what may be left away is said
//! behind it: `act("Claim", claim).kind(ActKind::Main).refused(why_not)`.
//!
//! ```text
//! frame(truth, …)                     truth line, skip link, navigation, toasts
//!   page_head(label, title)           the head of each screen; takes the focus when a screen is opened
//!   heading(words) lines() line(what) the lines of the book
//!   note() working(…) figures(…)      what to know, how it was reached, tables
//! ```

mod act;
mod bars;
mod confirm;
mod empty;
mod field;
mod filters;
mod frame;
mod lines;
mod note;
mod pick_field;
mod places;
mod plan;
mod plan_marks;
mod qr;
mod sheet;
mod table;
mod tabs;
mod tag;
mod toast;
mod truth_line;
mod working;

use std::rc::Rc;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::piece::Ask;

pub use act::{Act, ActKind, ActLink, act, act_link, acts};
pub use bars::{Bar, bar_key, bars};
pub use confirm::{Confirm, confirm};
pub use empty::{empty, not_here};
pub use field::{
    Choice, Field, amount_field, check_field, date_field, form, note_field, select_field,
    send_button, text_field,
};
pub use filters::{Filter, filters};
pub use frame::{PageHead, frame, page_head};
pub use lines::{Line, heading, line, lines};
pub use note::{Note, NoteKind, note};
pub use pick_field::{Pick, PickField, pick_field};
pub use places::{Squares, places};
pub use plan::{Hand, Plan, plan};
pub use plan_marks::{plate, remark, title_block};
pub use qr::qr;
pub use sheet::sheet;
pub use table::{FigureRow, Figures, figures};
pub use tabs::{tab_panel, tabs};
pub use tag::{TagKind, tag};
pub use toast::{Toasts, toast_shelf, use_toasts};
pub use truth_line::truth_line;
pub use working::{Working, WorkingText, working};

/// What happens at a press.
#[derive(Clone)]
pub struct Press(Rc<dyn Ask<()>>);

impl Press {
    /// A press that does this.
    pub fn new(act: impl Fn() + 'static) -> Self {
        Self(Rc::new(act))
    }

    /// Does it.
    pub fn now(&self) {
        self.0.ask();
    }
}

impl std::fmt::Debug for Press {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("Press")
    }
}

/// An id that no other element of the page has, for labels and descriptions to point at.
fn fresh_id(kind: &str) -> String {
    static NEXT: AtomicUsize = AtomicUsize::new(0);
    format!("{kind}-{}", NEXT.fetch_add(1, Ordering::Relaxed))
}
