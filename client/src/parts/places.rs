//! Places of a task, as little squares.

use leptos::prelude::*;

/// One square a place: filled when taken, in pen colour with a ring when it is yours; those who stand by follow as circles.
#[component]
pub fn Places(
    /// How many places there are.
    #[prop(into)]
    total: Signal<usize>,
    /// How many are taken, yours included.
    #[prop(into)]
    held: Signal<usize>,
    /// Whether one of them is yours.
    #[prop(into, optional)]
    mine: Signal<bool>,
    /// How many stand by.
    #[prop(into, optional)]
    standing_by: Signal<usize>,
) -> impl IntoView {
    let spoken = move || spoken(total.get(), held.get(), mine.get(), standing_by.get());
    let squares = move || {
        let (held, mine) = (held.get(), mine.get());
        let place = (0..total.get().max(held)).map(move |index| {
            if index == 0 && mine {
                "me"
            } else if index < held {
                "held"
            } else {
                ""
            }
        });
        let waiting = std::iter::repeat_n("stand-by", standing_by.get());
        place
            .chain(waiting)
            .map(|class| view! { <i class=class></i> })
            .collect_view()
    };
    view! { <span class="places" role="img" aria-label=spoken>{squares}</span> }
}

fn spoken(total: usize, held: usize, mine: bool, standing_by: usize) -> String {
    let yours = if mine { ", one of them yours" } else { "" };
    let waiting = if standing_by > 0 {
        format!(", {standing_by} standing by")
    } else {
        String::new()
    };
    format!("{held} of {total} places taken{yours}{waiting}")
}
