//! The pieces every screen is made of. They draw and tell what was pressed; they hold no rule and know no garden.
//!
//! ```text
//! <Frame truth>                      truth line, skip link, navigation, toasts
//!   <PageHead label title/>          the head of each screen; takes the focus when a screen is opened
//!   <Heading text/> <Lines> <Line/>  the lines of the book
//!   <Note/> <Working/> <Figures/>    what to know, how it was reached, tables
//! </Frame>
//! ```

pub mod act;
pub mod confirm;
pub mod empty;
pub mod field;
pub mod filters;
pub mod frame;
pub mod lines;
pub mod note;
pub mod places;
pub mod plan;
pub mod plan_marks;
pub mod qr;
pub mod sheet;
pub mod table;
pub mod tabs;
pub mod tag;
pub mod toast;
pub mod truth_line;
pub mod working;

use std::sync::atomic::{AtomicUsize, Ordering};

pub use act::{Act, ActKind, ActLink, Acts};
pub use confirm::Confirm;
pub use empty::Empty;
pub use field::{
    AmountField, CheckField, Choice, DateField, Form, NoteField, SelectField, SendButton, TextField,
};
pub use filters::{Filter, Filters};
pub use frame::{Frame, PageHead};
pub use lines::{Heading, Line, Lines};
pub use note::{Note, NoteKind};
pub use places::Places;
pub use plan::Plan;
pub use plan_marks::{Plate, Remark, TitleBlock};
pub use qr::Qr;
pub use sheet::Sheet;
pub use table::{FigureRow, Figures};
pub use tabs::{TabPanel, Tabs};
pub use tag::{Tag, TagKind};
pub use toast::{ToastShelf, Toasts, use_toasts};
pub use truth_line::TruthLine;
pub use working::{Working, WorkingText};

/// An id that no other element of the page has, for labels and descriptions to point at.
fn fresh_id(kind: &str) -> String {
    static NEXT: AtomicUsize = AtomicUsize::new(0);
    format!("{kind}-{}", NEXT.fetch_add(1, Ordering::Relaxed))
}
