//! Plantings as they are drawn on the plan: their rows at true spacing, dotted where they were sown and in dashes where they
//! were set out; the ground of a cover crop hatched with blades.
//!
//! Rows so close that they run into each other on the screen are drawn as a hatch of their ground, until one looks closer.

use std::fmt::Write;

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, PlantingId};
use selion_core::document::records::{Planting, PlantingState, StartsAs};
use selion_core::document::season_plan::{Books, plants};
use selion_core::geometry::Point;
use selion_core::season::rows::{OutlineCase, Pattern, in_outline};

use super::rows::name_of;
use crate::plain::drawing;

/// Rows nearer to each other than this on the screen, in pixels, cannot be told apart.
const LEAST_APART: f64 = 4.0;

/// How a planting is told from others on the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Rows that were sown.
    Sown,
    /// Rows that were set out.
    Set,
    /// A cover crop.
    Cover,
}

impl Kind {
    /// The class of its lines.
    pub fn class(self) -> &'static str {
        match self {
            Self::Sown | Self::Cover => "row-line",
            Self::Set => "row-line set",
        }
    }

    /// The hatch of its ground, where rows are not drawn.
    pub fn hatch(self) -> &'static str {
        match self {
            Self::Sown | Self::Set => "url(#hatch-rows)",
            Self::Cover => "url(#hatch-green)",
        }
    }
}

/// A planting on the sheet. Its rows are laid only when they are asked for: of many beds seen from afar none are.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Which.
    pub planting: PlantingId,
    /// In which bed.
    pub bed: BedId,
    /// What it is called.
    pub name: String,
    /// How it is drawn.
    pub kind: Kind,
    /// Its ground, as SVG path data.
    pub ground: String,
    /// Where its name stands.
    pub at: (f64, f64),
    /// How its rows are laid, and how far they are apart in millimetres; nothing where that is not known.
    laid: Option<(OutlineCase, f64)>,
}

impl Drawn {
    /// Whether its rows can be told apart at this scale.
    pub fn has_rows(&self, mm_per_pixel: f64) -> bool {
        let apart = self.laid.as_ref().map(|(_, apart)| *apart);
        apart.is_some_and(|apart| apart >= LEAST_APART * mm_per_pixel)
    }

    /// Its rows as SVG path data; empty where there is no room for one.
    pub fn rows(&self) -> String {
        let mut path = String::new();
        let found = self
            .laid
            .as_ref()
            .and_then(|(case, _)| in_outline(case).ok());
        for row in found.iter().flat_map(|found| &found.result.rows) {
            line(&mut path, row.from, row.to);
        }
        path
    }
}

/// A planting as it is drawn; nothing where its bed is not there.
pub fn drawn(garden: &Garden, books: &Books, id: PlantingId, planting: &Planting) -> Option<Drawn> {
    let ground = plants::ground_of(garden, planting)?;
    let kind = match (planting.cover, planting.starts_as) {
        (true, _) => Kind::Cover,
        (false, StartsAs::Sown) => Kind::Sown,
        (false, StartsAs::Set) => Kind::Set,
    };
    let case = plants::case_of(garden, books, planting).ok();
    let laid = case.filter(|_| !planting.cover).and_then(|case| {
        let Pattern::Rows(between) = case.pattern else {
            return None;
        };
        Some((case, millimetres(between.micrometres())))
    });
    Some(Drawn {
        planting: id,
        bed: planting.bed,
        name: name_of(planting),
        kind,
        ground: drawing::outline_path(ground),
        at: drawing::place(ground.label_point()),
        laid,
    })
}

/// What stands in the beds today: in one of them, or in all.
pub fn standing(garden: &Garden, books: &Books, bed: Option<BedId>) -> Vec<Drawn> {
    let seasons = garden.seasons.values();
    let plantings = seasons.flat_map(|season| &season.plantings);
    plantings
        .filter(|(_, it)| it.ended_on.is_none() && it.state == PlantingState::Standing)
        .filter(|(_, it)| bed.is_none_or(|bed| bed == it.bed))
        .filter_map(|(id, planting)| drawn(garden, books, *id, planting))
        .collect()
}

/// What stands in a bed, for the list that says what the plan shows: `Carrot, leek`.
pub fn names_in(garden: &Garden, bed: BedId) -> String {
    let seasons = garden.seasons.values();
    let plantings = seasons.flat_map(|season| season.plantings.values());
    let mut names: Vec<&str> = plantings
        .filter(|it| it.bed == bed && it.ended_on.is_none())
        .filter(|it| it.state == PlantingState::Standing)
        .map(|it| it.crop.as_str())
        .collect();
    names.sort_unstable();
    names.dedup();
    names.join(", ")
}

// A row of a single plant is a point; a millimetre makes a dot of it.
fn line(path: &mut String, from: Point, to: Point) {
    let length = i64::from(from == to);
    // Writing to a string cannot fail.
    let _ = write!(
        path,
        "M{} {}L{} {}",
        from.x.mm(),
        -from.y.mm(),
        to.x.mm() + length,
        -to.y.mm()
    );
}

fn millimetres(micrometres: i64) -> f64 {
    f64::from(i32::try_from(micrometres / 1_000).unwrap_or(i32::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{bed, planting, planting_id, with_plantings};

    #[test]
    fn rows_are_drawn_at_their_spacing_once_they_can_be_told_apart() {
        let mut beans = planting("bean, bush snap", "2026-05-20");
        beans.state = PlantingState::Standing;
        let garden = with_plantings([beans]);
        let books = Books::of(&garden).unwrap();
        let drawn = standing(&garden, &books, None);
        let [beans] = drawn.as_slice() else {
            panic!("{drawn:?}")
        };
        // A bed of 1 m by 3 m, rows 24 in (610 mm) apart along its longest side: the first 305 mm from its edge, and no room
        // for a second with as much beyond it.
        assert_eq!(beans.rows().matches('M').count(), 1);
        // Four pixels from row to row.
        assert!(beans.has_rows(150.0) && !beans.has_rows(160.0));
        assert!(standing(&garden, &books, Some(bed(2))).is_empty());
        assert_eq!(names_in(&garden, bed(1)), "bean, bush snap");
    }

    #[test]
    fn a_cover_crop_is_hatched_and_what_is_only_planned_does_not_stand() {
        let mut rye = planting("cereal rye", "2026-09-20");
        rye.cover = true;
        rye.state = PlantingState::Standing;
        let garden = with_plantings([rye, planting("carrot", "2026-05-01")]);
        let books = Books::of(&garden).unwrap();
        let drawn = standing(&garden, &books, None);
        assert_eq!(drawn.len(), 1);
        assert_eq!(
            (drawn[0].kind, drawn[0].planting),
            (Kind::Cover, planting_id(1))
        );
        assert!(!drawn[0].has_rows(1.0));
    }
}
