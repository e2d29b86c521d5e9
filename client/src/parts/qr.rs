//! A QR code, for a phone held against a phone.

use leptos::prelude::*;

use super::{Note, NoteKind};
use crate::plain::qr;

/// The text as a QR code, black on white in every theme, since cameras read that best.
#[component]
pub fn Qr(
    /// What it says.
    #[prop(into)]
    text: Signal<String>,
    /// What it is, such as "Code of the invitation for Wren".
    #[prop(into)]
    label: String,
) -> impl IntoView {
    move || match qr::encode(&text.read()) {
        Ok(code) => {
            let edge = format!("0 0 {0} {0}", code.side);
            view! {
                <svg class="qr" viewBox=edge role="img" aria-label=label.clone() shape-rendering="crispEdges">
                    <rect width="100%" height="100%" fill="#fff" />
                    <path d=code.path fill="#000" />
                </svg>
            }
            .into_any()
        }
        Err(trouble) => view! { <Note kind=NoteKind::Stop>{trouble.to_string()}</Note> }.into_any(),
    }
}
