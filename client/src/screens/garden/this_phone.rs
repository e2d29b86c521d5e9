//! How this phone shows Selion, and how it is put on the home screen.

use leptos::prelude::*;

use crate::browser::page::{self, Theme};
use crate::parts::{Filter, filters, heading, note};
use crate::piece::{Piece, pieces, signal_of, watch};

/// The choice of theme and the hint to install.
pub fn this_phone() -> Piece {
    let chosen = signal_of(page::theme().name());
    watch(move || {
        let name = chosen.get();
        let theme = Theme::ALL.into_iter().find(|theme| theme.name() == name);
        if let Some(theme) = theme.filter(|theme| *theme != page::theme()) {
            page::note_trouble(page::set_theme(theme));
        }
    });
    let themes: Vec<Filter> = Theme::ALL
        .map(|theme| Filter::new(theme.name(), short_name(theme)))
        .to_vec();
    pieces![
        heading("How it looks"),
        filters("Theme", themes, chosen),
        (!page::is_installed()).then(|| note().lead("On the home screen.").child(
            "Selion works in the browser as it is. From the home screen it \
             opens at once and keeps its data more safely: in the browser's \
             menu choose Add to home screen, or Install."
        ))
    ]
}

// Short enough for four of them to stand side by side on a narrow phone.
fn short_name(theme: Theme) -> &'static str {
    match theme {
        Theme::Phone => "As set",
        Theme::Paper => "Paper",
        Theme::Sun => "Sun",
        Theme::Dusk => "Dusk",
    }
}
