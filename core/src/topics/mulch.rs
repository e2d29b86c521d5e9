//! Topics over [`crate::soil::mulch`] and [`crate::soil::loads`]: mulch by volume and bale, heaps by load and bag.

use super::case::Case;
use super::{Printed, Topic, TopicError};
use crate::quantities::BadInput;
use crate::soil::loads::{self, Vehicle};
use crate::soil::mulch::{self, Bale, Loosening};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "mulch",
        summary: "How much of a mulch covers a bed, at its printed depth or one asked for.",
        example: r#"{"material": "wood chips on paths", "depth": "3 in", "area": "1000 sq ft", "units": "us"}"#,
        run: run_mulch,
    },
    Topic {
        name: "bales",
        summary: "How many square or round bales cover a bed.",
        example: r#"{"square": ["14 in", "18 in", "36 in"], "spread": "shaken", "depth": "4 in", "area": "1000 sq ft", "units": "us"}"#,
        run: run_bales,
    },
    Topic {
        name: "round-bale",
        summary: "Volume and dry matter of a round bale.",
        example: r#"{"diameter": "5 ft", "width": "5 ft", "units": "us"}"#,
        run: run_round_bale,
    },
    Topic {
        name: "loads",
        summary: "How many loads of a pickup, trailer or barrow a heap is, by box and by weight.",
        example: r#"{"volume": "6 cu yd", "vehicle": "full-size pickup", "payload": "1500 lb", "bulk_density": "1000 lb/cu yd", "units": "us"}"#,
        run: run_loads,
    },
    Topic {
        name: "bags-by-volume",
        summary: "How many bags a heap is.",
        example: r#"{"volume": "1 cu yd", "bag": "1.5 cu ft", "bag_weight": "40 lb", "units": "us"}"#,
        run: run_bags,
    },
];

fn run_mulch(case: &Case) -> Result<Printed, TopicError> {
    let material = case.words("material")?;
    let (depth, area) = (case.read_if("depth")?, case.read("area")?);
    Printed::of(&mulch::cover(&material, depth, area, case.units()?)?)
}

fn run_bales(case: &Case) -> Result<Printed, TopicError> {
    let bale = if case.has("square") {
        let sides = case.read_each("square")?;
        let &[length, width, height] = sides.as_slice() else {
            let came = format!("{} sides", sides.len());
            return Err(BadInput::new(
                "square",
                "three sides, such as 14 in, 18 in and 36 in",
                came,
            )
            .into());
        };
        Bale::Square(length, width, height)
    } else {
        Bale::Round(case.read("diameter")?, case.read("width")?)
    };
    let spread = [("shaken", Loosening::Shaken), ("layers", Loosening::Layers)];
    let loosening = match case.read_if("loosening")? {
        Some(own) => Loosening::Measured(own),
        None => case.choice("spread", &spread)?,
    };
    let (depth, area) = (case.read("depth")?, case.read("area")?);
    Printed::of(&mulch::bales(bale, loosening, depth, area, case.units()?)?)
}

fn run_round_bale(case: &Case) -> Result<Printed, TopicError> {
    let (diameter, width) = (case.read("diameter")?, case.read("width")?);
    Printed::of(&mulch::round_bale(diameter, width, case.units()?)?)
}

fn run_loads(case: &Case) -> Result<Printed, TopicError> {
    let payload = case.read_if("payload")?;
    let name = case.words("vehicle")?;
    let vehicle = if case.has("length") {
        let (length, width) = (case.read("length")?, case.read("width")?);
        Vehicle {
            name,
            level: loads::level_box(length, width, case.read("height")?)?,
            payload,
        }
    } else {
        loads::printed_vehicle(&name, payload)?
    };
    let density = case.read_if("bulk_density")?;
    Printed::of(&loads::loads(
        case.read("volume")?,
        &vehicle,
        density,
        case.units()?,
    )?)
}

fn run_bags(case: &Case) -> Result<Printed, TopicError> {
    let (volume, bag) = (case.read("volume")?, case.read("bag")?);
    let bag_weight = case.read_if("bag_weight")?;
    Printed::of(&loads::bags(volume, bag, bag_weight, case.units()?)?)
}
