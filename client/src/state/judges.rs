//! Which edits this phone can judge by now. What judges those of the later screens comes with them, in the later file.

use std::cell::Cell;

use selion_core::policy::Judges;

thread_local! {
    static KNOWN: Cell<Judges> = const { Cell::new(Judges::FIRST) };
}

/// The later file is here, and what judges its edits with it.
pub fn bring(judges: Judges) {
    KNOWN.set(judges);
}

/// Which edits can be judged now.
pub(super) fn known() -> Judges {
    KNOWN.get()
}
