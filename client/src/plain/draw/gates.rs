//! The gates of a fence line by words and numbers: put in, made wider, put elsewhere, taken out.

use selion_core::document::fence_change::fit;
use selion_core::document::records::Gate;
use selion_core::quantities::{BadInput, Length, Units};
use selion_core::work::fence;

use super::change::length;
use super::shape::{Fence, Shape};

/// The width that a gate has unless another is typed: a barrow and two elbows go through.
pub fn usual_width(units: Units) -> &'static str {
    match units {
        Units::Metric => "1.2 m",
        Units::UsCustomary => "4 ft",
    }
}

/// One gate as it is listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GateRow {
    /// Its key.
    pub key: String,
    /// What people call it: `Gate 2`.
    pub label: String,
    /// How wide, as it can be typed again.
    pub width: String,
    /// How far from the beginning of the line, as it can be typed again.
    pub at: String,
}

/// The gates in the order they were put in.
pub fn rows(shape: &Shape, units: Units) -> Vec<GateRow> {
    let Some(fence) = shape.fence() else {
        return Vec::new();
    };
    let keys = shape.gates().into_iter();
    keys.filter_map(|key| {
        let gate = fence.gates.get(&key)?;
        Some(GateRow {
            label: format!("Gate {key}"),
            width: gate.width.show(units),
            at: gate.at.show(units),
            key,
        })
    })
    .collect()
}

/// A further gate of a typed width, so far along the line as was typed; in the middle of its longest free stretch if nothing was.
pub fn added(fence: &Fence, width: &str, at: &str, units: Units) -> Result<Fence, BadInput> {
    let width = wide(width, units)?;
    let at = if at.trim().is_empty() {
        in_the_middle(fence, width)
    } else {
        length("at", at, units)?
    };
    checked(&fence.with_gate(fence.free_key(), placed(fence, at, width)?))
}

/// A gate with another width or place, as they were typed.
pub fn changed(
    fence: &Fence,
    key: &str,
    width: &str,
    at: &str,
    units: Units,
) -> Result<Fence, BadInput> {
    let (width, at) = (wide(width, units)?, length("at", at, units)?);
    checked(&fence.with_gate(key.to_owned(), placed(fence, at, width)?))
}

/// Without a gate.
pub fn taken_out(fence: &Fence, key: &str) -> Fence {
    let mut fence = fence.clone();
    fence.gates.remove(key);
    fence
}

fn wide(typed: &str, units: Units) -> Result<Length, BadInput> {
    let width = length("width", typed, units)?;
    let sensible = (200..=50_000).contains(&width.mm());
    let expected = "a gate from 0.2 m to 50 m wide (8 in to 164 ft)";
    sensible
        .then_some(width)
        .ok_or_else(|| BadInput::new("width", expected, typed))
}

fn placed(fence: &Fence, at: Length, width: Length) -> Result<Gate, BadInput> {
    let whole = fence.line.length();
    if at > whole {
        let expected = format!("a place within the {} mm of the line", whole.mm());
        return Err(BadInput::new("at", expected, format!("{} mm", at.mm())));
    }
    let at = fit(&fence.line, at, width);
    Ok(Gate { at, width })
}

/// Gates that lie on each other, or a side shorter than its gate, are told at once and not only where posts are counted.
fn checked(drawn: &Fence) -> Result<Fence, BadInput> {
    let gates: Vec<fence::Gate> = drawn
        .gates
        .values()
        .map(|gate| fence::Gate {
            at: gate.at,
            width: gate.width,
        })
        .collect();
    fence::Layout::drawn(&drawn.line, &gates)?;
    Ok(drawn.clone())
}

/// In the middle of the longest straight stretch that no other gate lies on.
fn in_the_middle(fence: &Fence, width: Length) -> Length {
    let mut longest = (0, 0);
    let mut begins = 0;
    for run in fence.line.runs() {
        let ends = begins + run.length().mm();
        let on_it = fence.gates.values();
        let mut gates: Vec<(i64, i64)> = on_it
            .map(|gate| (gate.at.mm(), gate.at.mm().saturating_add(gate.width.mm())))
            .filter(|(from, to)| *from < ends && *to > begins)
            .collect();
        gates.sort_unstable();
        let mut free_from = begins;
        for (from, to) in gates.into_iter().chain([(ends, ends)]) {
            if from - free_from > longest.1 {
                longest = (free_from, from - free_from);
            }
            free_from = free_from.max(to);
        }
        begins = ends;
    }
    Length::from_mm(longest.0 + (longest.1 - width.mm()).max(0) / 2)
}

#[cfg(test)]
mod tests {
    use selion_core::geometry::Line;
    use selion_core::ordered::Map;

    use super::*;

    fn fence() -> Fence {
        Fence {
            line: Line::parse("LINESTRING(0 0,4000 0,4000 10000)").unwrap(),
            gates: Map::new(),
        }
    }

    #[test]
    fn gates_are_put_in_the_middle_or_where_it_was_typed() {
        let one = added(&fence(), "1.2", "", Units::Metric).unwrap();
        assert_eq!(one.gates["1"].at.mm(), 4_000 + 4_400);
        let two = added(&one, "3 ft", "1 m", Units::Metric).unwrap();
        assert_eq!(
            (two.gates["2"].at.mm(), two.gates["2"].width.mm()),
            (1_000, 914)
        );
        let rows = rows(&Shape::Fence(two.clone()), Units::Metric);
        let lines: Vec<_> = rows
            .iter()
            .map(|row| (&*row.label, &*row.width, &*row.at))
            .collect();
        assert_eq!(
            lines,
            [("Gate 1", "1.2 m", "8.4 m"), ("Gate 2", "91.4 cm", "1 m")]
        );
        let moved = changed(&two, "1", "2 m", "13.9 m", Units::Metric).unwrap();
        assert_eq!(moved.gates["1"].at.mm(), 12_000, "it ends with the line");
        assert_eq!(taken_out(&moved, "2").gates.len(), 1);
        assert_eq!(
            length("width", usual_width(Units::UsCustomary), Units::Metric)
                .unwrap()
                .mm(),
            1_219
        );
    }

    #[test]
    fn what_cannot_be_a_gate_is_named() {
        for (width, at, field) in [
            ("wide", "", "width"),
            ("60 m", "", "width"),
            ("1", "99", "at"),
            ("1", "there", "at"),
        ] {
            let bad = added(&fence(), width, at, Units::Metric).unwrap_err();
            assert_eq!(bad.field, field, "{width} {at}");
        }
        let one = added(&fence(), "1.2", "1", Units::Metric).unwrap();
        assert!(
            added(&one, "1.2", "1.5", Units::Metric).is_err(),
            "on the other"
        );
        assert!(
            added(&fence(), "5", "1", Units::Metric).is_err(),
            "wider than its side"
        );
    }
}
