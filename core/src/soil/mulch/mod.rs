//! Mulch: how thick by material, how much for a bed, and in how many bales.
//!
//! Depths are printed ranges, settled for straw where both are known; sources conflict because loose mulch settles (2 to 3 inches over
//! newspaper (S78), 4 to 6 to shut out light (S79)). Hay is common practice. A depth above the range is refused for grass
//! clippings, which rot in thick layers, and noted for the others.
//!
//! ```
//! use selion_core::quantities::{Area, Depth, Units};
//! use selion_core::soil::mulch;
//!
//! let answer = mulch::cover("wood chips on paths", Some(Depth::parse("3 in")?), Area::parse("1000 sq ft")?, Units::UsCustomary)?;
//! assert!(answer.to_string().starts_with("9.26 cu yd of wood chips on paths, 3 in on 1,000 sq ft\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

mod bales;

use std::fmt;

use serde::Serialize;

use super::compost::check_area;
use crate::quantities::{Area, Depth, Units, Volume};
use crate::reckoning::{Reckoning, Refusal, Source, Standing, Step};

pub use bales::{Bale, Bales, Loosening, RoundBale, bales, round_bale};

/// A mulch with its printed depth.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Material {
    name: &'static str,
    /// Least and most, in hundredths of an inch.
    depth: (i64, i64),
    standing: Standing,
    source: &'static str,
    /// Whether more than the most does harm.
    most_is_firm: bool,
}

const fn material(name: &'static str, depth: (i64, i64), source: &'static str) -> Material {
    Material {
        name,
        depth,
        standing: Standing::Published,
        source,
        most_is_firm: false,
    }
}

const MATERIALS: [Material; 9] = [
    material(
        "straw on vegetables, over newspaper",
        (200, 300),
        "Kentucky county answer [compost S78]",
    ),
    material(
        "straw on vegetables, to shut out light",
        (400, 600),
        "Mulching guide [compost S79]",
    ),
    material(
        "straw on strawberries in winter",
        (300, 500),
        "Iowa State, loose; settles to 2 to 4 inches [compost S80]",
    ),
    material(
        "shredded leaves",
        (200, 400),
        "East Baton Rouge [compost S81]",
    ),
    material(
        "dry whole leaves",
        (600, 600),
        "East Baton Rouge [compost S81]",
    ),
    Material {
        most_is_firm: true,
        ..material(
            "grass clippings",
            (300, 400),
            "East Baton Rouge: thick layers rot, add in thin ones [compost S81]",
        )
    },
    material(
        "wood chips on beds",
        (200, 400),
        "East Baton Rouge; on the surface, never dug in [compost S81]",
    ),
    material(
        "wood chips on paths",
        (300, 600),
        "Mulching of paths [compost S82]",
    ),
    Material {
        standing: Standing::CommonPractice,
        ..material("loose hay", (400, 800), "Gardeners' habit")
    },
];

/// Mulch for a bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mulch {
    /// What.
    pub material: String,
    /// The ground under it.
    pub area: Area,
    /// How thick, at least.
    pub depth: Depth,
    /// How much for that.
    pub volume: Volume,
    /// The most that is printed, and how much that takes, where no depth was asked for.
    pub most: Option<(Depth, Volume)>,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Mulch {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let units = self.units;
        let volume = self.volume.show_bulk(units);
        let (depth, area) = (self.depth.show(units), self.area.show(units));
        match self.most {
            Some((deepest, most)) => write!(
                out,
                "{volume} to {} of {}, {depth} to {} on {area}",
                most.show_bulk(units),
                self.material,
                deepest.show(units)
            ),
            None => write!(out, "{volume} of {}, {depth} on {area}", self.material),
        }
    }
}

/// How much of a mulch covers a bed; without a depth the printed range is taken.
pub fn cover(
    name: &str,
    wanted: Option<Depth>,
    area: Area,
    units: Units,
) -> Result<Reckoning<Mulch>, Refusal> {
    check_area(area, units)?;
    let Some(material) = MATERIALS
        .iter()
        .find(|material| material.name == name.trim())
    else {
        let names: Vec<&str> = MATERIALS.iter().map(|material| material.name).collect();
        return Err(Refusal::bad(
            "material",
            format!("one of {}", names.join("; ")),
            name,
        ));
    };
    // A hundredth of an inch is 254 micrometres.
    let of = |hundredths: i64| Depth::from_micrometres(hundredths * 254);
    let (least, most) = (of(material.depth.0), of(material.depth.1));
    let depth = wanted.unwrap_or(least);
    if !depth.is_positive() || depth > THICKEST {
        let expected = format!("more than nothing and at most {}", THICKEST.show(units));
        return Err(Refusal::bad("depth", expected, depth.show(units)));
    }
    if material.most_is_firm && depth > most {
        return Err(Refusal::OutsideTheRule {
            field: format!("depth of {}", material.name),
            bounds: format!("layers of up to {}, since thick ones rot", most.show(units)),
            came: depth.show(units),
        });
    }
    let result = Mulch {
        material: material.name.to_owned(),
        area,
        depth,
        volume: depth.over(area),
        most: (wanted.is_none() && most > least).then(|| (most, most.over(area))),
        units,
    };
    let source = Source {
        standing: material.standing,
        words: format!("{}.", material.source),
    };
    let printed = if least == most {
        least.show(units)
    } else {
        format!("{} to {}", least.show(units), most.show(units))
    };
    let mut answer = Reckoning::new(result, source).step(Step::new("Printed depth", printed));
    if let Some(wanted) = wanted {
        answer = answer.step(Step::new("Asked for", wanted.show(units)));
        if !(least..=most).contains(&wanted) {
            answer = answer.on("The depth asked for lies outside the printed range.");
        }
    }
    let volume = answer.result.volume.show_bulk(units);
    Ok(answer
        .step(Step::new("Area", area.show(units)))
        .step(Step::sum("Volume", volume))
        .on("Mulch keeps the soil cool: wait until it is warm. It may carry weed seed and herbicide and shelter pests [compost S89].")
        .rounded("To the millilitre, halves up."))
}

/// Half a metre.
const THICKEST: Depth = Depth::from_micrometres(500_000);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_depth_the_printed_range_is_shown() {
        let area = Area::parse("324 sq ft").unwrap();
        let answer = cover("shredded leaves", None, area, Units::UsCustomary).unwrap();
        let said = answer.to_string();
        assert!(
            said.starts_with(
                "2.00 cu yd to 4.00 cu yd of shredded leaves, 2 in to 4 in on 324 sq ft\n"
            ),
            "{said}"
        );
        let hay = cover("loose hay", None, area, Units::UsCustomary).unwrap();
        assert!(hay.to_string().contains("(common practice)"));
    }

    #[test]
    fn thick_grass_is_refused_and_thick_chips_are_noted() {
        let area = Area::parse("10 m2").unwrap();
        let depth = Some(Depth::parse("20 cm").unwrap());
        let refusal = cover("grass clippings", depth, area, Units::Metric).unwrap_err();
        assert_eq!(refusal.code(), "outside_the_rule");
        let chips = cover("wood chips on beds", depth, area, Units::Metric).unwrap();
        assert!(chips.to_string().contains("outside the printed range"));
    }

    #[test]
    fn unknown_mulch_and_no_layer_are_refused_by_name() {
        let area = Area::parse("10 m2").unwrap();
        assert!(
            cover("gravel", None, area, Units::Metric)
                .unwrap_err()
                .to_string()
                .starts_with("material")
        );
        let refusal = cover("loose hay", Some(Depth::ZERO), area, Units::Metric).unwrap_err();
        assert!(refusal.to_string().starts_with("depth"));
        assert!(cover("loose hay", None, Area::ZERO, Units::Metric).is_err());
    }
}
