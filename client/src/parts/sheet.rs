//! A sheet that comes up from the bottom, for one thing at a time.

use leptos::ev::MouseEvent;
use leptos::html::Dialog;
use leptos::prelude::*;

use super::fresh_id;

/// A sheet over the page. Esc, the button at its head and a touch beside it close it; the browser keeps the focus inside
/// and gives it back afterwards. Its content is made anew each time it opens.
#[component]
pub fn Sheet(
    /// Whether it is open; closing sets it back.
    open: RwSignal<bool>,
    /// Its title.
    #[prop(into)]
    title: Signal<String>,
    /// What stands on it.
    children: ChildrenFn,
) -> impl IntoView {
    let dialog = NodeRef::<Dialog>::new();
    let title_id = fresh_id("sheet");
    let titled_by = title_id.clone();
    Effect::new(move |_| {
        let (Some(dialog), open) = (dialog.get(), open.get()) else {
            return;
        };
        if open && !dialog.open() {
            // It cannot be shown only while the page is being taken down.
            let _ = dialog.show_modal();
        } else if !open {
            dialog.close();
        }
    });
    let close_beside = move |event: MouseEvent| {
        // A touch on the sheet's content has the content as its target, one beside it has the dialog itself.
        let on_dialog = event.target() == dialog.get_untracked().map(Into::into);
        if on_dialog && is_outside(&event, dialog) {
            open.set(false);
        }
    };
    let children = StoredValue::new(children);
    view! {
        <dialog
            class="sheet" node_ref=dialog aria-labelledby=titled_by on:close=move |_| open.set(false)
            on:click=close_beside
        >
            <div class="sheet-head">
                <h2 id=title_id>{move || title.get()}</h2>
                <button type="button" class="act bare" on:click=move |_| open.set(false)>"Close"</button>
            </div>
            <Show when=move || open.get()>{children.with_value(|children| children())}</Show>
        </dialog>
    }
}

fn is_outside(event: &MouseEvent, dialog: NodeRef<Dialog>) -> bool {
    let (x, y) = (f64::from(event.client_x()), f64::from(event.client_y()));
    dialog.get_untracked().is_some_and(|dialog| {
        let edge = dialog.get_bounding_client_rect();
        x < edge.left() || x > edge.right() || y < edge.top() || y > edge.bottom()
    })
}
