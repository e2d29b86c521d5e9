//! Topics over [`crate::soil::compost`] and [`crate::soil::bulk`]: layers, the yearly ceiling, one heap shared by bed area.

use super::case::Case;
use super::{Printed, Topic, TopicError};
use crate::quantities::{Area, BadInput, Depth, Volume};
use crate::soil::bulk;
use crate::soil::compost::ceiling::{self, CeilingCase, Origin};
use crate::soil::compost::{self, Given};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "bulk-density",
        summary: "What a loose material weighs by volume: from one full bucket, or as printed.",
        example: r#"{"net_weight": "25 lb", "vessel": "5 gal", "units": "us"}"#,
        run: run_bulk_density,
    },
    Topic {
        name: "compost-layer",
        summary: "Depth, volume and weight of a layer on a bed, from any one of them.",
        example: r#"{"area": "1000 sq ft", "weight": "1 ton", "bulk_density": "1000 lb/cu yd", "units": "us"}"#,
        run: run_layer,
    },
    Topic {
        name: "compost-ceiling",
        summary: "The most compost for a bed this year: phosphorus first, then the yearly cap.",
        example: r#"{"area": "1000 sq ft", "bulk_density": "1000 lb/cu yd", "origin": "manure", "soil_phosphorus": "20 ppm",
            "phosphate_needed": "1 lb/1000 sq ft", "phosphate_content": "0.19 %", "spread_this_year": "0 in", "units": "us"}"#,
        run: run_ceiling,
    },
    Topic {
        name: "compost-shares",
        summary: "One heap shared over beds by their area, adding up exactly.",
        example: r#"{"total": "6 cu yd", "units": "us", "beds": [{"label": "A", "area": "80 sq ft"}, {"label": "B", "area": "120 sq ft"},
            {"label": "C", "area": "200 sq ft"}, {"label": "D", "area": "100 sq ft"}]}"#,
        run: run_shares,
    },
    Topic {
        name: "organic-matter",
        summary: "The organic matter in a weight of compost.",
        example: r#"{"weight": "1000 lb", "moisture": "50 %", "organic_of_dry": "50 %", "units": "us"}"#,
        run: run_organic_matter,
    },
];

fn run_bulk_density(case: &Case) -> Result<Printed, TopicError> {
    let units = case.units()?;
    let answer = match case.words_if("material")? {
        Some(material) => bulk::printed(&material, units)?,
        None => bulk::of_vessel(case.read("net_weight")?, case.read("vessel")?, units)?,
    };
    Printed::of(&answer)
}

fn run_layer(case: &Case) -> Result<Printed, TopicError> {
    let given = [
        case.read_if("depth")?.map(Given::Depth),
        case.read_if("volume")?.map(Given::Volume),
        case.read_if("weight")?.map(Given::Weight),
    ];
    let given: Vec<Given> = given.into_iter().flatten().collect();
    let &[given] = given.as_slice() else {
        let came = format!("{} of them", given.len());
        return Err(BadInput::new("amount", "one of depth, volume and weight", came).into());
    };
    let density = case.read_if("bulk_density")?;
    Printed::of(&compost::cover(
        case.read("area")?,
        given,
        density,
        case.units()?,
    )?)
}

const ORIGINS: [(&str, Origin); 3] = [
    ("plants", Origin::Plants),
    ("manure", Origin::Manure),
    ("unknown", Origin::Unknown),
];

fn run_ceiling(case: &Case) -> Result<Printed, TopicError> {
    let ceiling = CeilingCase {
        area: case.read("area")?,
        density: case.read("bulk_density")?,
        origin: case.choice("origin", &ORIGINS)?,
        soil_phosphorus: case.read_if("soil_phosphorus")?,
        phosphate_needed: case.read_if("phosphate_needed")?,
        phosphate_content: case.read_if("phosphate_content")?,
        spread_this_year: case
            .read_if::<Depth>("spread_this_year")?
            .unwrap_or_default(),
        units: case.units()?,
    };
    Printed::of(&ceiling::most(&ceiling)?)
}

fn run_shares(case: &Case) -> Result<Printed, TopicError> {
    let mut beds: Vec<(String, Area)> = Vec::new();
    for bed in case.list("beds")? {
        beds.push((bed.words("label")?, bed.read("area")?));
    }
    let total: Volume = case.read("total")?;
    Printed::of(&compost::share(total, &beds, case.units()?)?)
}

fn run_organic_matter(case: &Case) -> Result<Printed, TopicError> {
    let (moisture, organic) = (case.read("moisture")?, case.read("organic_of_dry")?);
    let weight = case.read("weight")?;
    Printed::of(&compost::organic_matter(
        weight,
        moisture,
        organic,
        case.units()?,
    )?)
}
