//! The beds and structures as they are drawn on the plan.

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, MemberId};
use selion_core::geometry::Outline;
use selion_core::ordered;
use selion_core::quantities::Units;

use super::drawing;
use super::ground_rows::holders;

/// A bed narrower than this on the screen, in pixels, has no room for its label.
const LEAST_WIDTH: f64 = 14.0;
/// A bed lower than this has none either.
const LEAST_HEIGHT: f64 = 12.0;
/// From this width on the label has all its room.
const FULL_WIDTH: f64 = 34.0;

/// A bed on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnBed {
    /// Which.
    pub bed: BedId,
    /// Its label.
    pub label: String,
    /// Its outline, as SVG path data.
    pub path: String,
    /// Where its label stands.
    pub label_at: (f64, f64),
    /// The width and height of the box around it, in millimetres.
    pub size: (f64, f64),
    /// Whether whoever looks holds a part of it.
    pub mine: bool,
    /// Whether nobody in particular holds it.
    pub common: bool,
    /// What a screen reader says.
    pub spoken: String,
}

/// The beds that were not given up. One's own come last, so that their thick line lies on top.
pub fn beds(garden: &Garden, me: Option<MemberId>, units: Units) -> Vec<DrawnBed> {
    let mut beds: Vec<DrawnBed> = garden
        .open_beds()
        .into_iter()
        .map(|(id, bed)| DrawnBed {
            bed: id,
            size: size(&bed.outline),
            label: bed.label.clone(),
            path: drawing::outline_path(&bed.outline),
            label_at: label_at(&bed.outline),
            mine: me.is_some_and(|me| bed.is_held_by(me)),
            common: bed.is_common(),
            spoken: format!(
                "Bed {}, {}, {}",
                bed.label,
                bed.outline.area().show(units),
                holders(garden, bed, me)
            ),
        })
        .collect();
    ordered::sort_by_key(&mut beds, |bed| bed.mine);
    beds
}

/// How much room a bed leaves for its label.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Room {
    /// The label fits.
    Enough,
    /// It is drawn smaller.
    Tight,
    /// It is left out until one looks closer.
    Crowded,
}

impl DrawnBed {
    /// The room for its label at this scale.
    pub fn room(&self, mm_per_pixel: f64) -> Room {
        room(self.size, mm_per_pixel)
    }
}

/// The room for a label in a bed that is drawn just now, at this scale.
pub fn room_in(outline: &Outline, mm_per_pixel: f64) -> Room {
    room(size(outline), mm_per_pixel)
}

fn room(size: (f64, f64), mm_per_pixel: f64) -> Room {
    if is_crowded(size, mm_per_pixel) {
        Room::Crowded
    } else if size.0 < FULL_WIDTH * mm_per_pixel {
        Room::Tight
    } else {
        Room::Enough
    }
}

pub(super) fn is_crowded((width, height): (f64, f64), mm_per_pixel: f64) -> bool {
    width < LEAST_WIDTH * mm_per_pixel || height < LEAST_HEIGHT * mm_per_pixel
}

// In a long rectangle every point of the middle line is as far from the edges; the eye wants the middle of it.
pub(super) fn label_at(outline: &Outline) -> (f64, f64) {
    let point = match outline.sides() {
        Some(_) => outline.bounds().centre(),
        None => outline.label_point(),
    };
    drawing::place(point)
}

pub(super) fn size(outline: &Outline) -> (f64, f64) {
    let extent = drawing::extent(outline.bounds());
    (extent.width, extent.height)
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::plain::sample::{bed, garden, member};
    use selion_core::document::records::Bed;
    use selion_core::ordered::Map;

    #[test]
    fn ones_own_beds_are_drawn_last_and_common_ones_are_known() {
        let mut garden = garden();
        let record = garden.beds.get(&bed(2)).unwrap();
        let common = Bed {
            label: "D1".into(),
            holders: Map::new(),
            ..Bed::clone(record)
        };
        garden.beds.insert(bed(3), Arc::new(common));
        let beds = beds(&garden, Some(member(1)), Units::Metric);
        let drawn: Vec<(&str, bool, bool)> = beds
            .iter()
            .map(|bed| (bed.label.as_str(), bed.mine, bed.common))
            .collect();
        let expected = [
            ("C4", false, false),
            ("D1", false, true),
            ("A2", true, false),
        ];
        assert_eq!(drawn, expected);
        let mine = beds.last().unwrap();
        assert_eq!(mine.label_at, (500.0, -1_500.0));
        assert_eq!(mine.spoken, "Bed A2, 3.0 m², You");
        // One metre wide: 20 pixels at 50 mm a pixel, 10 at 100.
        let rooms = [20.0, 50.0, 100.0].map(|scale| mine.room(scale));
        assert_eq!(rooms, [Room::Enough, Room::Tight, Room::Crowded]);
    }
}
