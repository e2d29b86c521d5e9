//! The lines of the book: margin column with the bed, the matter, the figure.

use leptos::prelude::*;

/// The heading of a group of lines.
#[component]
pub fn Heading(
    /// Its words.
    #[prop(into)]
    text: Signal<String>,
) -> impl IntoView {
    view! { <h2>{move || text.get()}</h2> }
}

/// A group of lines.
#[component]
pub fn Lines(
    /// The lines.
    children: Children,
) -> impl IntoView {
    // Some browsers forget that a list without bullets is a list; the role reminds them.
    view! { <ul class="lines" role="list">{children()}</ul> }
}

/// One line. With `href` or `on_press` the whole line can be touched; buttons in the figure column keep their own.
#[component]
pub fn Line(
    /// The margin column: a bed, or another short name.
    #[prop(into, optional)]
    bed: Signal<String>,
    /// The matter, in one line if it fits.
    #[prop(into)]
    what: Signal<String>,
    /// A second, smaller line.
    #[prop(into, optional)]
    small: Signal<String>,
    /// Where a touch leads.
    #[prop(into, optional)]
    href: Option<String>,
    /// What a touch does, if it leads nowhere.
    #[prop(into, optional)]
    on_press: Option<Callback<()>>,
    /// Belongs to whoever is looking.
    #[prop(into, optional)]
    mine: Signal<bool>,
    /// Is over and done.
    #[prop(into, optional)]
    done: Signal<bool>,
    /// The figure column.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    let words = move || {
        view! {
            {move || what.get()}
            <Show when=move || mine.get()><span class="visually-hidden">", yours"</span></Show>
            <Show when=move || done.get()><span class="visually-hidden">", done"</span></Show>
        }
    };
    let matter = match (href, on_press) {
        (Some(href), _) => view! { <a class="what" href=href>{words()}</a> }.into_any(),
        (None, Some(press)) => {
            view! { <button type="button" class="what" on:click=move |_| press.run(())>{words()}</button> }.into_any()
        }
        (None, None) => view! { <span class="what">{words()}</span> }.into_any(),
    };
    view! {
        <li class="line" class:mine=mine class:done=done>
            <span class="bed">{move || bed.get()}</span>
            <span class="matter">
                {matter}
                <Show when=move || !small.read().is_empty()><small>{move || small.get()}</small></Show>
            </span>
            {children.map(|children| view! { <span class="fig">{children()}</span> })}
        </li>
    }
}
