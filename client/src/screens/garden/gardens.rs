//! The person's gardens, and going over to another.

use leptos::prelude::*;
use selion_core::document::ids::GardenId;

use crate::parts::{Heading, Line, Lines, Tag, TagKind};
use crate::plain::people_rows::initials;
use crate::state::{GardenEntry, use_book};

/// The list; where there is but one garden it is not shown.
#[component]
pub fn MyGardens() -> impl IntoView {
    let book = use_book();
    let gardens = Memo::new(move |_| book.account.with(|account| account.gardens.clone()));
    let line = move |garden: GardenEntry| {
        let is_open = book.current.get() == Some(garden.id);
        view! { <GardenLine garden=garden is_open=is_open /> }
    };
    view! {
        <Show when=move || { gardens.read().len() > 1 }>
            <Heading text="My gardens" />
            <Lines>{move || gardens.get().into_iter().map(line).collect_view()}</Lines>
        </Show>
    }
}

#[component]
fn GardenLine(garden: GardenEntry, is_open: bool) -> impl IntoView {
    let book = use_book();
    let id: GardenId = garden.id;
    let margin = initials(&garden.name);
    let role = garden.role.word();
    if is_open {
        view! {
            <Line bed=margin what=garden.name small=role mine=true><Tag word="open" kind=TagKind::Mine /></Line>
        }
        .into_any()
    } else {
        let press = Callback::new(move |()| book.switch_to(id));
        view! { <Line bed=margin what=garden.name small=role on_press=press>"go there"</Line> }
            .into_any()
    }
}
