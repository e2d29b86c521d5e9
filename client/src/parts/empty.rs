//! What stands where nothing stands yet: says why, and what to do about it.

use leptos::prelude::*;

/// An empty place.
#[component]
pub fn Empty(
    /// What is not there, such as "Nothing waits for hands this week".
    #[prop(into)]
    lead: String,
    /// What to do about it; may hold a button.
    #[prop(optional)]
    children: Option<Children>,
) -> impl IntoView {
    view! {
        <div class="empty">
            <p class="lead">{lead}</p>
            {children.map(|children| children())}
        </div>
    }
}
