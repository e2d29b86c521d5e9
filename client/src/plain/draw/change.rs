//! What is changed at a thing on the plan by words and numbers instead of by hand: its size, its turn, a cut, a join, a copy.

use selion_core::document::edit::Piece;
use selion_core::document::ids::{BedId, StructureId};
use selion_core::document::records::{StructureFacts, StructureKind};
use selion_core::document::{Edit, Garden};
use selion_core::geometry::{Outline, Point, Run, Turn, joined, split};
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Day, Length, Units};

use super::shape::Shape;
use super::{Thing, things};
use crate::plain::bed_form::length_unit;
use crate::plain::ground_rows::extent_bounds;
use crate::plain::typed::with_unit;

/// Clear ground between what is there and what is put beside it: half a metre, enough for a foot.
const BESIDE: Length = Length::from_mm(500);

/// A length as it is typed; a bare number is in the garden's unit.
pub fn length(field: &str, text: &str, units: Units) -> Result<Length, BadInput> {
    Length::parse(&with_unit(text, length_unit(units))).map_err(|bad| bad.named(field))
}

/// A new bed or structure of a usual size, to the east of all that is there.
pub fn usual_outline(
    garden: &Garden,
    units: Units,
    what: Option<StructureKind>,
) -> Result<Outline, BadInput> {
    let [width, depth] = match (what, units) {
        // Beds that can be reached across from both sides.
        (None, Units::Metric) => [1_200, 6_000],
        (None, Units::UsCustomary) => [1_219, 6_096],
        (Some(StructureKind::Path), _) => [600, 6_000],
        (Some(StructureKind::Building), _) => [2_400, 3_000],
        (Some(_), _) => [1_500, 1_500],
    };
    let corner = beside_all(garden);
    let is_round = matches!(what, Some(StructureKind::Tree | StructureKind::Water));
    if is_round {
        let centre = Point::from_mm(corner.x.mm() + width / 2, corner.y.mm() + width / 2);
        return Outline::circle(centre, Length::from_mm(width));
    }
    Outline::rectangle(corner, Length::from_mm(width), Length::from_mm(depth))
}

fn beside_all(garden: &Garden) -> Point {
    match extent_bounds(garden) {
        None => Point::default(),
        Some(all) => Point::from_mm(all.max.x.mm().saturating_add(BESIDE.mm()), all.min.y.mm()),
    }
}

/// A label that no bed has: the first of N1, N2 … that is free.
pub fn free_label(garden: &Garden) -> String {
    let is_free = |label: &String| {
        garden
            .beds
            .values()
            .all(|bed| bed.ended_on.is_some() || !bed.label.trim().eq_ignore_ascii_case(label))
    };
    (1..=garden.beds.len() + 1)
        .map(|number| format!("N{number}"))
        .find(is_free)
        .unwrap_or_else(|| "N".to_owned())
}

/// A structure of this kind, as it is first put down.
pub fn new_structure(
    garden: &Garden,
    units: Units,
    structure: StructureId,
    kind: StructureKind,
    label: &str,
) -> Result<Edit, BadInput> {
    let label = match label.trim() {
        "" => kind.shown(),
        label => label,
    };
    Ok(Edit::DrawStructure {
        structure,
        label: label.to_owned(),
        outline: usual_outline(garden, units, Some(kind))?,
        what: StructureFacts {
            kind,
            ..StructureFacts::default()
        },
    })
}

/// A rectangle of the typed size, from its first corner.
pub fn sized(outline: &Outline, first: Length, second: Length) -> Result<Outline, BadInput> {
    outline.resized(first, second).unwrap_or_else(|| {
        let expected = "an outline with four right angles; drag the corners of any other";
        let came = format!("one with {} corners", outline.corners().len());
        Err(BadInput::new("size", expected, came))
    })
}

/// Turned about its middle by typed degrees, against the clock.
pub fn turned(outline: &Outline, degrees: &str) -> Result<Outline, BadInput> {
    let typed = degrees.trim().trim_end_matches('°').trim_end();
    let turn: i32 = typed
        .parse()
        .ok()
        .filter(|turn| (-360..=360).contains(turn))
        .ok_or_else(|| BadInput::new("turn", "whole degrees from -360 to 360", degrees))?;
    outline.turned(Turn::from_degrees(turn), outline.bounds().centre())
}

/// A circle of this width about the same middle.
pub fn rounded(outline: &Outline, across: Length) -> Result<Outline, BadInput> {
    Outline::circle(outline.bounds().centre(), across)
}

/// The bed again, to the east of itself, a common bed with a label of its own.
pub fn copied(garden: &Garden, bed: BedId, copy: BedId) -> Result<Edit, BadInput> {
    let outline = bed_outline(garden, bed)?;
    let step = outline.bounds().width().mm().saturating_add(BESIDE.mm());
    Ok(Edit::AddBed {
        bed: copy,
        label: free_label(garden),
        outline: outline.shifted(Length::from_mm(step), Length::ZERO)?,
        holders: Map::new(),
    })
}

/// The bed cut across its longer side, so far from the end where its outline begins; in the middle where nothing is typed.
pub fn cut(
    garden: &Garden,
    bed: BedId,
    at: Option<Length>,
    ids: impl Fn() -> BedId,
) -> Result<Edit, BadInput> {
    let outline = bed_outline(garden, bed)?;
    let pieces = split(outline, cut_line(outline, at))?;
    let mut pieces = pieces.into_iter();
    let kept = pieces.next().unwrap_or_else(|| outline.clone());
    let label = garden.label_of(Some(bed)).to_owned();
    let mut others = Map::new();
    for (letter, outline) in ('b'..='z').zip(pieces) {
        let label = format!("{label}{letter}");
        others.insert(ids(), Piece { label, outline });
    }
    Ok(Edit::SplitBed {
        bed,
        seen: outline.clone(),
        outline: kept,
        pieces: others,
    })
}

/// Square to the longer side of a rectangle; through the box around any other outline, across its longer way.
fn cut_line(outline: &Outline, at: Option<Length>) -> Run {
    let bounds = outline.bounds();
    let rectangle = match (outline.sides(), outline.corners()) {
        (Some((first, second)), [a, b, _, d]) if first >= second => Some((*a, *b, *d, first)),
        (Some((_, second)), [a, b, _, d]) => Some((*a, *d, *b, second)),
        _ => None,
    };
    let Some((from, to, side, long)) = rectangle else {
        let (width, depth) = (bounds.width(), bounds.depth());
        let half = Length::from_mm(width.max(depth).mm() / 2);
        let at = at.unwrap_or(half).mm();
        return if width >= depth {
            let x = bounds.min.x.mm() + at;
            run((x, bounds.min.y.mm()), (x, bounds.max.y.mm()))
        } else {
            let y = bounds.min.y.mm() + at;
            run((bounds.min.x.mm(), y), (bounds.max.x.mm(), y))
        };
    };
    let at = at.map_or(long.mm() / 2, Length::mm);
    let whole = long.mm().max(1);
    let along = |low: Length, high: Length| (high.mm() - low.mm()) * at / whole;
    let (east, north) = (along(from.x, to.x), along(from.y, to.y));
    run(
        (from.x.mm() + east, from.y.mm() + north),
        (side.x.mm() + east, side.y.mm() + north),
    )
}

fn run((x, y): (i64, i64), (to_x, to_y): (i64, i64)) -> Run {
    Run {
        from: Point::from_mm(x, y),
        to: Point::from_mm(to_x, to_y),
    }
}

/// The bed takes the ground of another that it touches; whoever held either holds both, in the parts they had.
pub fn joined_with(garden: &Garden, bed: BedId, with: BedId, on: Day) -> Result<Edit, BadInput> {
    let (seen, seen_with) = (bed_outline(garden, bed)?, bed_outline(garden, with)?);
    let mut holders = Map::new();
    for one in [bed, with] {
        let held = garden.open_bed(one).into_iter();
        for (member, parts) in held.flat_map(|record| record.held_by()) {
            let sum: &mut u32 = holders.entry(member).or_default();
            *sum = sum.saturating_add(parts);
        }
    }
    Ok(Edit::MergeBeds {
        bed,
        seen: seen.clone(),
        with,
        seen_with: seen_with.clone(),
        outline: joined(seen, seen_with)?,
        holders,
        on,
    })
}

/// The beds that a bed could be joined with: those that it touches.
pub fn neighbours(garden: &Garden, bed: BedId) -> Vec<(BedId, String)> {
    let mut found = Vec::new();
    let Ok(outline) = bed_outline(garden, bed) else {
        return found;
    };
    for (thing, label) in things(garden) {
        let Thing::Bed(other) = thing else { continue };
        let beside = thing.shape(garden);
        let touches = beside
            .as_ref()
            .and_then(Shape::outline)
            .is_some_and(|other| joined(outline, other).is_ok());
        if other != bed && touches {
            found.push((other, label));
        }
    }
    found
}

/// The edit that takes a thing off the ground.
pub fn taken_off(thing: Thing, on: Day) -> Edit {
    match thing {
        Thing::Bed(bed) => Edit::ChangeBed {
            bed,
            set: vec![selion_core::document::edit::BedField::EndedOn(Some(on))],
        },
        Thing::Structure(structure) => Edit::EndStructure { structure, on },
        Thing::Fence(fence) => Edit::EndFenceLine { fence, on },
    }
}

fn bed_outline(garden: &Garden, bed: BedId) -> Result<&Outline, BadInput> {
    let gone = || BadInput::new("bed", "a bed that is on the ground", bed.to_string());
    garden
        .open_bed(bed)
        .map(|bed| &bed.outline)
        .ok_or_else(gone)
}

#[cfg(test)]
mod tests {
    use selion_core::document::undo::inverse;
    use selion_core::quantities::Area;

    use super::*;
    use crate::plain::sample::{bed, day, garden};

    fn areas(edit: &Edit) -> Vec<Area> {
        let Edit::SplitBed {
            outline, pieces, ..
        } = edit
        else {
            panic!("{edit:?}");
        };
        std::iter::once(outline)
            .chain(pieces.values().map(|piece| &piece.outline))
            .map(Outline::area)
            .collect()
    }

    #[test]
    fn a_bed_is_cut_across_where_it_was_said_and_loses_no_ground() {
        let garden = garden();
        let whole = garden.beds[&bed(1)].outline.area();
        let middle = areas(&cut(&garden, bed(1), None, || bed(9)).unwrap());
        assert_eq!(middle.len(), 2);
        assert_eq!(middle.iter().copied().sum::<Area>(), whole);
        assert_eq!(middle[0], middle[1]);
        let off = cut(&garden, bed(1), Some(Length::from_mm(90_000)), || bed(9));
        assert_eq!(off.unwrap_err().field, "cut");
    }

    #[test]
    fn pieces_can_be_joined_again_and_a_copy_lies_beside_with_its_own_label() {
        let mut garden = garden();
        let edit = copied(&garden, bed(1), bed(8)).unwrap();
        let Edit::AddBed { label, outline, .. } = &edit else {
            panic!("{edit:?}");
        };
        assert_eq!(label, "N1");
        assert!(outline.bounds().min.x > garden.beds[&bed(1)].outline.bounds().max.x);
        // In the sample both beds lie in one place, which counts as touching.
        garden.beds.remove(&bed(2));
        assert!(neighbours(&garden, bed(1)).is_empty());
        let beside = garden.beds[&bed(1)]
            .outline
            .shifted(garden.beds[&bed(1)].outline.bounds().width(), Length::ZERO);
        let mut record = selion_core::document::records::Bed::clone(&garden.beds[&bed(1)]);
        record.outline = beside.unwrap();
        record.label = "A3".to_owned();
        garden.beds.insert(bed(5), std::sync::Arc::new(record));
        assert_eq!(neighbours(&garden, bed(1)), [(bed(5), "A3".to_owned())]);
        let edit = joined_with(&garden, bed(1), bed(5), day("2026-06-01")).unwrap();
        assert!(inverse(&garden, &edit, day("2026-06-01")).is_some());
    }

    #[test]
    fn what_is_typed_wrongly_is_named() {
        let outline = Outline::parse("POLYGON((0 0,6000 0,6000 1200,0 1200,0 0))").unwrap();
        assert_eq!(turned(&outline, "half").unwrap_err().field, "turn");
        assert_eq!(turned(&outline, "90°").unwrap().area(), outline.area());
        let triangle = outline.without_corner(0).unwrap();
        let size = sized(&triangle, BESIDE, BESIDE).unwrap_err();
        assert_eq!(size.field, "size");
        assert_eq!(
            length("width", "x", Units::Metric).unwrap_err().field,
            "width"
        );
        assert_eq!(
            length("width", "4", Units::UsCustomary).unwrap().mm(),
            1_219
        );
    }

    #[test]
    fn new_things_lie_on_free_ground() {
        let garden = garden();
        for kind in [None, Some(StructureKind::Tree), Some(StructureKind::Path)] {
            let new = usual_outline(&garden, Units::Metric, kind).unwrap();
            for (_, old) in garden.open_beds() {
                let common = selion_core::geometry::common_area(&new, &old.outline);
                assert_eq!(common, Area::from_mm2(0), "{kind:?}");
            }
        }
    }
}
