//! Asking once before something that cannot be undone.

use leptos::prelude::*;

use super::{Act, ActKind, Acts, Sheet};

/// A question on a sheet, with what follows from yes. For what can be undone, do it and offer to undo instead.
#[component]
pub fn Confirm(
    /// Whether it is asked.
    open: RwSignal<bool>,
    /// The question.
    #[prop(into)]
    question: Signal<String>,
    /// What will be so afterwards, and for whom.
    #[prop(into)]
    follows: Signal<String>,
    /// The yes, as a verb, such as "Close the order".
    #[prop(into)]
    yes: Signal<String>,
    /// What happens on yes.
    #[prop(into)]
    on_yes: Callback<()>,
    /// Whether something is taken from somebody.
    #[prop(optional)]
    grave: bool,
) -> impl IntoView {
    let kind = if grave { ActKind::Grave } else { ActKind::Main };
    let agree = Callback::new(move |()| {
        open.set(false);
        on_yes.run(());
    });
    view! {
        <Sheet open=open title=question>
            <p>{move || follows.get()}</p>
            <Acts>
                <Act words="Leave it" on_press=move |()| open.set(false) />
                <Act words=yes kind=kind on_press=agree />
            </Acts>
        </Sheet>
    }
}
