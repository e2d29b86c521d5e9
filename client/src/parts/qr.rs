//! A QR code, for a phone held against a phone.

use super::{NoteKind, note};
use crate::piece::{Piece, Words, svg};
use crate::plain::qr;

/// The text as a QR code, black on white in every theme, since cameras read that best; and what it is, in words, such as
/// "Code of the invitation for Wren".
pub fn qr(text: &str, label: impl Into<Words>) -> Piece {
    match qr::encode(text) {
        Ok(code) => svg("svg")
            .class("qr")
            .attr("viewBox", format!("0 0 {0} {0}", code.side))
            .attr("role", "img")
            .attr("aria-label", label)
            .attr("shape-rendering", "crispEdges")
            .child(
                svg("rect")
                    .attr("width", "100%")
                    .attr("height", "100%")
                    .attr("fill", "#fff"),
            )
            .child(svg("path").attr("d", code.path).attr("fill", "#000"))
            .into(),
        Err(trouble) => note()
            .kind(NoteKind::Stop)
            .child(trouble.to_string())
            .into(),
    }
}
