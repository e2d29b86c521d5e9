//! Several beds brought in line with each other, or put the same distance apart.

use selion_core::document::edit::BedField;
use selion_core::document::ids::BedId;
use selion_core::document::{Edit, Garden};
use selion_core::geometry::Bounds;
use selion_core::ordered;
use selion_core::quantities::{BadInput, Length};

/// How beds are lined up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LineUp {
    /// Their western edges.
    Left,
    /// Their eastern edges.
    Right,
    /// Their northern edges.
    Top,
    /// Their southern edges.
    Bottom,
    /// The same gap between each and the next, from west to east.
    GapsAcross,
    /// The same gap between each and the next, from south to north.
    GapsUp,
}

impl LineUp {
    /// All of them, with their words; sides are those of the plan as it is seen.
    pub const ALL: [(Self, &'static str); 6] = [
        (Self::Left, "Left edges"),
        (Self::Right, "Right edges"),
        (Self::Top, "Top edges"),
        (Self::Bottom, "Bottom edges"),
        (Self::GapsAcross, "Equal gaps across"),
        (Self::GapsUp, "Equal gaps up and down"),
    ];
}

/// The edits that line the chosen beds up. Edges go to the outermost of them; with equal gaps the outer two stay. Beds that lie
/// right already are left alone.
pub fn lined_up(garden: &Garden, beds: &[BedId], how: LineUp) -> Result<Vec<Edit>, BadInput> {
    let mut chosen: Vec<(BedId, Bounds)> = beds
        .iter()
        .filter_map(|bed| Some((*bed, garden.open_bed(*bed)?.outline.bounds())))
        .collect();
    let least = if matches!(how, LineUp::GapsAcross | LineUp::GapsUp) {
        3
    } else {
        2
    };
    if chosen.len() < least {
        let expected = format!("at least {least} beds that are on the ground");
        return Err(BadInput::new("beds", expected, chosen.len().to_string()));
    }
    let all = |edge: fn(&Bounds) -> i64| chosen.iter().map(move |(_, bounds)| edge(bounds));
    let steps: Vec<(BedId, i64, i64)> = match how {
        LineUp::Left => to_edge(&chosen, all(west).min(), west, false),
        LineUp::Right => to_edge(&chosen, all(east).max(), east, false),
        LineUp::Top => to_edge(&chosen, all(north).max(), north, true),
        LineUp::Bottom => to_edge(&chosen, all(south).min(), south, true),
        LineUp::GapsAcross => even(&mut chosen, west, east, false),
        LineUp::GapsUp => even(&mut chosen, south, north, true),
    };
    let mut edits = Vec::new();
    for (bed, to_east, to_north) in steps {
        if (to_east, to_north) == (0, 0) {
            continue;
        }
        let Some(record) = garden.open_bed(bed) else {
            continue;
        };
        let (to_east, to_north) = (Length::from_mm(to_east), Length::from_mm(to_north));
        let outline = record.outline.shifted(to_east, to_north)?;
        let set = vec![BedField::Outline(outline)];
        edits.push(Edit::ChangeBed { bed, set });
    }
    Ok(edits)
}

fn west(bounds: &Bounds) -> i64 {
    bounds.min.x.mm()
}

fn east(bounds: &Bounds) -> i64 {
    bounds.max.x.mm()
}

fn south(bounds: &Bounds) -> i64 {
    bounds.min.y.mm()
}

fn north(bounds: &Bounds) -> i64 {
    bounds.max.y.mm()
}

fn stepped(bed: BedId, step: i64, upright: bool) -> (BedId, i64, i64) {
    if upright {
        (bed, 0, step)
    } else {
        (bed, step, 0)
    }
}

fn to_edge(
    chosen: &[(BedId, Bounds)],
    edge: Option<i64>,
    of: fn(&Bounds) -> i64,
    upright: bool,
) -> Vec<(BedId, i64, i64)> {
    let edge = edge.unwrap_or_default();
    chosen
        .iter()
        .map(|(bed, bounds)| stepped(*bed, edge - of(bounds), upright))
        .collect()
}

/// Gaps between edges, so that beds of different widths still have the same path between them. What does not divide goes to
/// the first gaps, a millimetre each.
fn even(
    chosen: &mut [(BedId, Bounds)],
    low: fn(&Bounds) -> i64,
    high: fn(&Bounds) -> i64,
    upright: bool,
) -> Vec<(BedId, i64, i64)> {
    ordered::sort_by_key(chosen, |(bed, bounds)| (low(bounds), *bed));
    let (Some((_, first)), Some((_, last))) = (chosen.first(), chosen.last()) else {
        return Vec::new();
    };
    let gaps = i64::try_from(chosen.len()).unwrap_or(1) - 1;
    let beds: i64 = chosen
        .iter()
        .map(|(_, bounds)| high(bounds) - low(bounds))
        .sum();
    let free = high(last) - low(first) - beds;
    let (gap, more) = (free.div_euclid(gaps), free.rem_euclid(gaps));
    let mut place = low(first);
    let mut steps = Vec::new();
    for ((bed, bounds), number) in chosen.iter().zip(0..) {
        steps.push(stepped(*bed, place - low(bounds), upright));
        place += high(bounds) - low(bounds) + gap + i64::from(number < more);
    }
    steps
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use selion_core::document::records::Bed;
    use selion_core::geometry::{Outline, Point};

    use super::*;
    use crate::plain::sample::{bed, garden};

    /// Beds 1 to 4, each with its western and southern edge and its size.
    fn with(places: [(i64, i64, i64, i64); 4]) -> Garden {
        let mut garden = garden();
        let record = Bed::clone(&garden.beds[&bed(1)]);
        for (number, (x, y, width, depth)) in (1..).zip(places) {
            let outline = Outline::rectangle(
                Point::from_mm(x, y),
                Length::from_mm(width),
                Length::from_mm(depth),
            );
            let record = Bed {
                label: format!("A{number}"),
                outline: outline.unwrap(),
                ..record.clone()
            };
            garden.beds.insert(bed(number), Arc::new(record));
        }
        garden
    }

    fn after(garden: &Garden, how: LineUp, beds: &[u8]) -> Vec<(BedId, i64, i64)> {
        let beds: Vec<BedId> = beds.iter().map(|number| bed(*number)).collect();
        let edits = lined_up(garden, &beds, how).unwrap();
        let moved = edits.into_iter().map(|edit| {
            let Edit::ChangeBed { bed, set } = edit else {
                panic!("{edit:?}");
            };
            let [BedField::Outline(outline)] = set.as_slice() else {
                panic!("{set:?}");
            };
            let corner = outline.bounds().min;
            (bed, corner.x.mm(), corner.y.mm())
        });
        moved.collect()
    }

    #[test]
    fn edges_go_to_the_outermost_bed_and_nothing_else_moves() {
        let garden = with([
            (0, 0, 1_200, 6_000),
            (2_000, 50, 1_000, 5_000),
            (3_900, -30, 1_200, 6_000),
            (9_000, 9_000, 500, 500),
        ]);
        assert_eq!(
            after(&garden, LineUp::Bottom, &[1, 2, 3]),
            [(bed(1), 0, -30), (bed(2), 2_000, -30)]
        );
        assert_eq!(
            after(&garden, LineUp::Top, &[1, 2]),
            [(bed(2), 2_000, 1_000)]
        );
        assert_eq!(after(&garden, LineUp::Left, &[1, 4]), [(bed(4), 0, 9_000)]);
        assert_eq!(after(&garden, LineUp::Right, &[1, 4]), [(bed(1), 8_300, 0)]);
    }

    #[test]
    fn gaps_become_equal_to_the_millimetre_and_the_outer_beds_stay() {
        let garden = with([
            (0, 0, 1_200, 1_000),
            (1_500, 0, 800, 1_000),
            (5_001, 0, 1_000, 1_000),
            (2_700, 0, 500, 1_000),
        ]);
        let moved = after(&garden, LineUp::GapsAcross, &[1, 2, 3, 4]);
        // 5001 − 1200 − 800 − 500 = 2501 between, in three: 834, 834, 833.
        assert_eq!(moved, [(bed(2), 2_034, 0), (bed(4), 3_668, 0)]);
        assert!(
            after(&garden, LineUp::GapsUp, &[1, 2, 3])
                .iter()
                .all(|(_, x, _)| *x >= 0)
        );
        let two = [bed(1), bed(2)];
        assert_eq!(
            lined_up(&garden, &two, LineUp::GapsUp).unwrap_err().field,
            "beds"
        );
        assert!(lined_up(&garden, &two[..1], LineUp::Left).is_err());
    }
}
