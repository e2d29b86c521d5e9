//! How each kind of structure is drawn, so that no two are told apart by colour; and the key that says so.

use std::fmt::Write as _;

use crate::document::records::StructureKind;

/// The hatches, for a drawing at this scale: strokes stay as far apart on paper.
pub(super) fn patterns(scale: i64) -> String {
    let mut text = String::from("<defs>");
    for (name, wide, high, turn, strokes) in [
        ("path", 24, 24, 0, "M6 6h3M18 18h3"),
        ("water", 40, 20, 0, "M0 14q10 -12 20 0t20 0"),
        ("compost", 16, 16, 45, "M0 0V16M0 0H16"),
        ("building", 30, 30, 45, "M0 0V30"),
        ("shade", 12, 12, -45, "M0 0V12"),
    ] {
        let thin = if name == "shade" { 1 } else { 2 };
        // Tenths of a millimetre on paper.
        let _infallible = write!(
            text,
            "<pattern id=\"{name}\" width=\"{wide}\" height=\"{high}\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"scale({}) rotate({turn})\"><path d=\"{strokes}\" style=\"stroke-width:{thin}\"/></pattern>",
            tenths(scale)
        );
    }
    text.push_str("</defs>");
    text
}

/// A tenth of a millimetre on paper, on the ground: a decimal number.
fn tenths(scale: i64) -> String {
    format!("{}.{}", scale / 10, scale % 10)
}

/// The hatch that fills a kind, by its name.
pub(super) const fn fill(kind: StructureKind) -> Option<&'static str> {
    match kind {
        StructureKind::Path => Some("path"),
        StructureKind::Water => Some("water"),
        StructureKind::Compost => Some("compost"),
        StructureKind::Building => Some("building"),
        StructureKind::Tree | StructureKind::Slope | StructureKind::Other => None,
    }
}

/// The style sheet of the marks: the edge of each kind.
pub(super) fn style(scale: i64) -> String {
    let (dash, thick) = (scale * 2, scale / 2);
    let mut style = format!(
        ".path{{stroke-dasharray:{dash}}}.building{{stroke-width:{thick}}}.slope{{stroke:none}}.shade{{stroke:none}}"
    );
    for name in ["path", "water", "compost", "building", "shade"] {
        let _infallible = write!(style, ".in-{name}{{fill:url(#{name})}}");
    }
    style
}

/// What the key says of a kind.
pub(super) const fn words(kind: StructureKind) -> &'static str {
    match kind {
        StructureKind::Tree => "tree with its shade",
        StructureKind::Slope => "the ground falls along the arrow",
        StructureKind::Path => "path",
        StructureKind::Water => "water point",
        StructureKind::Compost => "compost bay",
        StructureKind::Building => "building",
        StructureKind::Other => "something else",
    }
}
