//! How many plants stand in a row, and in a bed of any outline.
//!
//! In a row of length L, with the margin e at both ends and the spacing s: `n = floor((L − 2e) / s) + 1`. Half a space at each
//! end gives `floor(L / s)`, which is how charts count (UME, UGA); plants on both ends give one more. Rows across a bed go by
//! the same rule. An offset grid has its rows s·√3/2 apart and every other row shifted by s/2; it is counted row by row and
//! never by a factor, since on a small bed it may hold fewer plants than a square one.
//!
//! ```
//! use selion_core::geometry::{Direction, Outline, Point};
//! use selion_core::quantities::{Length, Spacing, Units};
//! use selion_core::season::rows::{Ends, OutlineCase, Pattern, in_outline};
//!
//! let bed = Outline::rectangle(Point::from_mm(0, 0), Length::parse("8 ft")?, Length::parse("4 ft")?)?;
//! let plants = |pattern| {
//!     in_outline(&OutlineCase {
//!         outline: bed.clone(),
//!         along: Direction::East,
//!         pattern,
//!         spacing: Spacing::parse("12 in")?,
//!         ends: Ends::HalfSpace,
//!         side_margin: None,
//!         units: Units::UsCustomary,
//!     })
//! };
//! assert_eq!(plants(Pattern::Square)?.result.plants, 32);
//! assert_eq!(plants(Pattern::Offset)?.result.plants, 30);
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use crate::geometry::{Direction, Outline, Point, Row, Rows, SLACK};
use crate::ordered::Map;
use crate::quantities::{Spacing, Units};
use crate::reckoning::{Reckoning, Refusal, Source, Step};

/// The closest and the widest that plants or rows stand, in micrometres: 2 mm and 30 m.
const CLOSEST: i64 = 2_000;
const WIDEST: i64 = 30_000_000;
/// The longest row, in micrometres: 20 km.
const LONGEST: i64 = 20_000_000_000;
/// The most plants of one answer.
const MOST_PLANTS: i64 = 10_000_000;
/// Half the square root of three, from row to row of an offset grid, as a fraction.
const PITCH: (i128, i128) = (866_025_403_784, 1_000_000_000_000);

/// What is left free at both ends of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Ends {
    /// Half a space: what charts count with.
    HalfSpace,
    /// Nothing: a plant stands on each end.
    PlantsOnEnds,
    /// So much.
    Margin(Spacing),
}

impl Ends {
    fn margin(self, spacing: Spacing) -> Spacing {
        match self {
            Self::HalfSpace => half(spacing),
            Self::PlantsOnEnds => Spacing::ZERO,
            Self::Margin(margin) => margin,
        }
    }

    fn words(self, units: Units) -> String {
        match self {
            Self::HalfSpace => "half a space free at each end".to_owned(),
            Self::PlantsOnEnds => "a plant on each end".to_owned(),
            Self::Margin(margin) => format!("{} free at each end", margin.show(units)),
        }
    }
}

/// One row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct RowCase {
    /// From end to end.
    pub length: Spacing,
    /// From plant to plant.
    pub spacing: Spacing,
    /// What is left free at the ends.
    pub ends: Ends,
    /// The garden's units.
    pub units: Units,
}

/// How many plants stand in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PlantsInRow {
    /// How many.
    pub plants: i64,
}

impl fmt::Display for PlantsInRow {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} in the row", plants(self.plants))
    }
}

/// How many plants stand in a row.
pub fn in_row(case: &RowCase) -> Result<Reckoning<PlantsInRow>, Refusal> {
    let units = case.units;
    within("length", case.length, 0..=LONGEST, units)?;
    within("spacing", case.spacing, CLOSEST..=WIDEST, units)?;
    let margin = case.ends.margin(case.spacing);
    within("margin", margin, 0..=WIDEST, units)?;
    let plants = fitting(case.length.micrometres(), margin, case.spacing);
    let free = case.length.micrometres() - 2 * margin.micrometres();
    let source =
        Source::arithmetic("(length − both margins) / spacing, rounded down, and one more.");
    Ok(Reckoning::new(PlantsInRow { plants }, source)
        .step(Step::new("Length", case.length.show(units)))
        .step(Step::new("Free at each end", margin.show(units)))
        .step(Step::new(
            "Between the outer plants, at most",
            Spacing::from_micrometres(free.max(0)).show(units),
        ))
        .step(Step::new("Spacing", case.spacing.show(units)))
        .step(Step::sum("Plants", plants.to_string()))
        .on(format!("Counted with {}.", case.ends.words(units)))
        .rounded("Down to whole plants."))
}

/// How plants stand in a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Pattern {
    /// In rows so far from each other, each filled from its own end.
    Rows(Spacing),
    /// In a square grid: as far from row to row as from plant to plant.
    Square,
    /// In an offset (triangular) grid: every plant as far from its six neighbours.
    Offset,
}

/// A bed to be planted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OutlineCase {
    /// The bed.
    pub outline: Outline,
    /// Which way the rows run.
    pub along: Direction,
    /// How plants stand.
    pub pattern: Pattern,
    /// From plant to plant.
    pub spacing: Spacing,
    /// What is left free at both ends of a row.
    pub ends: Ends,
    /// What is left free beside the outer rows; half the row spacing, or in a grid half a space, where nothing is said.
    pub side_margin: Option<Spacing>,
    /// The garden's units.
    pub units: Units,
}

/// How many plants stand in a bed, and where.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PlantsInOutline {
    /// How many.
    pub plants: i64,
    /// Each piece of row that holds a plant.
    pub rows: Vec<PlantedRow>,
}

/// A piece of row with its plants.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PlantedRow {
    /// Which line it lies on, counted from the first edge; a line that leaves the bed and comes back has two pieces.
    pub line: i64,
    /// How many stand there.
    pub plants: i64,
    /// Where the first one stands.
    pub from: Point,
    /// Where the last one stands.
    pub to: Point,
}

impl fmt::Display for PlantsInOutline {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.rows.len() {
            0 => write!(out, "No room for a row"),
            1 => write!(out, "{} in 1 row", plants(self.plants)),
            rows => write!(out, "{} in {rows} rows", plants(self.plants)),
        }
    }
}

/// How many plants stand in a bed of any outline, row by row.
pub fn in_outline(case: &OutlineCase) -> Result<Reckoning<PlantsInOutline>, Refusal> {
    let units = case.units;
    within("spacing", case.spacing, CLOSEST..=WIDEST, units)?;
    let end = case.ends.margin(case.spacing);
    within("margin", end, 0..=WIDEST, units)?;
    let (between, side) = match case.pattern {
        Pattern::Rows(between) => (between, half(between)),
        Pattern::Square => (case.spacing, half(case.spacing)),
        Pattern::Offset => (pitch(case.spacing), half(case.spacing)),
    };
    within("row spacing", between, 1_000..=WIDEST, units)?;
    let side = case.side_margin.unwrap_or(side);
    within("side margin", side, 0..=WIDEST, units)?;
    let layout = Layout { between, side, end };
    let result = layout.plant(case)?;
    let source = Source::arithmetic(
        "(length − both margins) / spacing, rounded down, and one more, for each row and for the rows across.",
    );
    let mut answer = Reckoning::new(result.clone(), source)
        .step(Step::new("Bed", case.outline.area().show(units)))
        .step(Step::new("From plant to plant", case.spacing.show(units)))
        .step(Step::new("From row to row", between.show(units)))
        .step(Step::new("Free beside the outer rows", side.show(units)));
    for (plants, rows) in by_count(&result.rows) {
        let label = if rows == 1 {
            "1 row".to_owned()
        } else {
            format!("{rows} rows")
        };
        answer = answer.step(Step::new(label, format!("{plants} each")));
    }
    answer = answer
        .step(Step::sum("Plants", result.plants.to_string()))
        .on(format!("Counted with {}.", case.ends.words(units)))
        .on("Ends are measured along the row; an edge that runs aslant comes nearer to the outer plants.")
        .rounded("Down to whole plants; a millimetre of slack, since outlines are kept in whole millimetres.");
    if case.pattern == Pattern::Offset {
        let square = OutlineCase {
            pattern: Pattern::Square,
            ..case.clone()
        };
        let layout = Layout {
            between: case.spacing,
            ..layout
        };
        let plants = layout.plant(&square)?.plants;
        answer = answer.on(format!(
            "A square grid of the same spacing would hold {plants}: the gain is counted, never taken from a factor."
        ));
    }
    Ok(answer)
}

/// The distances of one planting.
#[derive(Clone, Copy)]
struct Layout {
    between: Spacing,
    side: Spacing,
    end: Spacing,
}

impl Layout {
    fn plant(self, case: &OutlineCase) -> Result<PlantsInOutline, Refusal> {
        let rows = Rows::across(&case.outline, case.along, self.side, self.between)?;
        let mut planted = Vec::new();
        let mut plants = 0_i64;
        for &row in rows.rows() {
            let (first, count) = self.plants_of(row, case);
            if count > 0 {
                plants = plants.saturating_add(count);
                let last = first + (count - 1) * case.spacing.micrometres();
                let place = |along: i64| rows.point(row, Spacing::from_micrometres(along));
                planted.push(PlantedRow {
                    line: row.line,
                    plants: count,
                    from: place(first),
                    to: place(last),
                });
            }
        }
        if plants > MOST_PLANTS {
            let expected = format!("a spacing that gives at most {MOST_PLANTS} plants");
            return Err(Refusal::bad("spacing", expected, plants.to_string()));
        }
        Ok(PlantsInOutline {
            plants,
            rows: planted,
        })
    }

    /// Where along the row the first plant stands, and how many there are.
    fn plants_of(self, row: Row, case: &OutlineCase) -> (i64, i64) {
        let (start, end, step) = (
            row.start.micrometres(),
            row.end.micrometres(),
            case.spacing.micrometres(),
        );
        let margin = self.end.micrometres();
        if let Pattern::Rows(_) = case.pattern {
            let plants = fitting(
                row.length().micrometres() + SLACK.micrometres(),
                self.end,
                case.spacing,
            );
            return (start + margin, plants);
        }
        // A grid has one origin for all its rows.
        let shifted = case.pattern == Pattern::Offset && row.line % 2 == 0;
        let origin = margin + if shifted { step / 2 } else { 0 };
        let slack = SLACK.micrometres();
        let from = (start + margin - slack - origin).max(0);
        let first = from.div_euclid(step) + i64::from(from.rem_euclid(step) > 0);
        let last = (end - margin + slack - origin).div_euclid(step);
        (origin + first * step, (last - first + 1).max(0))
    }
}

/// `floor((length − 2 margin) / spacing) + 1`, or none where the margins leave nothing.
fn fitting(length: i64, margin: Spacing, spacing: Spacing) -> i64 {
    let free = length - 2 * margin.micrometres();
    if free < 0 {
        0
    } else {
        free.div_euclid(spacing.micrometres().max(1)) + 1
    }
}

fn pitch(spacing: Spacing) -> Spacing {
    let across = i128::from(spacing.micrometres()) * PITCH.0 / PITCH.1;
    Spacing::from_micrometres(i64::try_from(across).unwrap_or(0))
}

fn half(spacing: Spacing) -> Spacing {
    Spacing::from_micrometres(spacing.micrometres() / 2)
}

/// How many rows hold how many plants, the fullest first.
fn by_count(rows: &[PlantedRow]) -> impl Iterator<Item = (i64, usize)> {
    let mut counts: Map<i64, usize> = Map::new();
    for row in rows {
        *counts.entry(row.plants).or_default() += 1;
    }
    counts.into_iter().rev()
}

fn plants(count: i64) -> String {
    if count == 1 {
        "1 plant".to_owned()
    } else {
        format!("{count} plants")
    }
}

fn within(
    field: &str,
    value: Spacing,
    bounds: std::ops::RangeInclusive<i64>,
    units: Units,
) -> Result<(), Refusal> {
    if bounds.contains(&value.micrometres()) {
        return Ok(());
    }
    let show = |um: i64| Spacing::from_micrometres(um).show(units);
    let expected = format!("from {} to {}", show(*bounds.start()), show(*bounds.end()));
    Err(Refusal::bad(field, expected, value.show(units)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::quantities::Length;

    fn case(outline: &str, pattern: Pattern, cm: i64) -> OutlineCase {
        OutlineCase {
            outline: Outline::parse(outline).unwrap(),
            along: Direction::East,
            pattern,
            spacing: Spacing::from_micrometres(cm * 10_000),
            ends: Ends::HalfSpace,
            side_margin: None,
            units: Units::Metric,
        }
    }

    #[test]
    fn an_l_shape_has_short_rows_and_long_ones() {
        let l = "POLYGON((0 0,6000 0,6000 1000,2000 1000,2000 3000,0 3000,0 0))";
        let answer = in_outline(&case(l, Pattern::Square, 50)).unwrap();
        let counts: Vec<i64> = answer.result.rows.iter().map(|row| row.plants).collect();
        assert_eq!(counts, [12, 12, 4, 4, 4, 4]);
        assert_eq!(answer.result.to_string(), "40 plants in 6 rows");
        let text = answer.to_string();
        assert!(text.contains("4 rows") && text.contains("4 each"), "{text}");
    }

    #[test]
    fn offset_on_a_small_bed_says_that_it_gains_nothing() {
        let bed = "POLYGON((0 0,2400 0,2400 1200,0 1200,0 0))";
        let answer = in_outline(&case(bed, Pattern::Offset, 30)).unwrap();
        assert_eq!(answer.result.plants, 30);
        assert!(
            answer
                .basis
                .iter()
                .any(|line| line.contains("would hold 32"))
        );
    }

    #[test]
    fn what_makes_no_row_is_refused_and_no_room_is_an_answer() {
        let refused = |length: i64, spacing: i64, margin: i64| {
            let case = RowCase {
                length: Spacing::from_micrometres(length),
                spacing: Spacing::from_micrometres(spacing),
                ends: Ends::Margin(Spacing::from_micrometres(margin)),
                units: Units::Metric,
            };
            in_row(&case)
                .map(|answer| answer.result.plants)
                .map_err(|refusal| refusal.to_string())
        };
        assert!(refused(-1, 300_000, 0).unwrap_err().starts_with("length: "));
        assert!(refused(1, 0, 0).unwrap_err().starts_with("spacing: "));
        assert!(refused(1, 300_000, -1).unwrap_err().starts_with("margin: "));
        assert_eq!(refused(100_000, 300_000, 60_000), Ok(0));
        let far_apart = case(
            "POLYGON((0 0,100 0,100 100,0 100,0 0))",
            Pattern::Square,
            300,
        );
        assert_eq!(
            in_outline(&far_apart).unwrap().to_string().lines().next(),
            Some("No room for a row")
        );
        let too_close = OutlineCase {
            spacing: Spacing::ZERO,
            ..far_apart
        };
        assert_eq!(in_outline(&too_close).unwrap_err().code(), "bad_input");
    }

    proptest! {
        #[test]
        fn every_plant_stands_on_the_bed_and_far_enough_from_the_next(
            width in 1_000_i64..9_000, depth in 1_000_i64..4_000, lean in -900_i64..900, cm in 5_i64..80, offset: bool,
        ) {
            let outline = format!("POLYGON((0 0,{width} {lean},{} {depth},0 {depth},0 0))", width + lean);
            let Ok(bed) = Outline::parse(&outline) else { return Ok(()) };
            let pattern = if offset { Pattern::Offset } else { Pattern::Square };
            let case = OutlineCase { outline: bed, ..case("POLYGON((0 0,1 0,0 1,0 0))", pattern, cm) };
            let planted = in_outline(&case).unwrap().result;
            prop_assert_eq!(planted.rows.iter().map(|row| row.plants).sum::<i64>(), planted.plants);
            for row in &planted.rows {
                let near = |point: Point| {
                    let around = [(0, 0), (2, 0), (-2, 0), (0, 2), (0, -2)];
                    around.into_iter().any(|(x, y)| {
                        case.outline.contains(Point::from_mm(point.x.mm() + x, point.y.mm() + y))
                    })
                };
                prop_assert!(near(row.from) && near(row.to), "{row:?}");
                let between = row.from.distance(row.to).mm() - (row.plants - 1) * cm * 10;
                prop_assert!(between.abs() <= 1);
            }
            for two in planted.rows.windows(2) {
                prop_assert!(two[0].from.distance(two[1].from) >= Length::from_mm(cm * 10 - 2), "{two:?}");
            }
        }

        #[test]
        fn metric_and_customary_rows_hold_the_same(inches in 10_i64..3_000, spacing in 1_i64..60) {
            let plants = |length: String, spacing: String| in_row(&RowCase {
                length: Spacing::parse(&length).unwrap(),
                spacing: Spacing::parse(&spacing).unwrap(),
                ends: Ends::HalfSpace,
                units: Units::Metric,
            }).unwrap().result.plants;
            let cm = |inches: i64| format!("{}.{:02} cm", inches * 254 / 100, inches * 254 % 100);
            prop_assert_eq!(plants(format!("{inches} in"), format!("{spacing} in")), plants(cm(inches), cm(spacing)));
            prop_assert_eq!(plants(format!("{inches} in"), format!("{spacing} in")), inches / spacing);
        }
    }
}
