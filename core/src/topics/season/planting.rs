//! Crops, plants in rows and beds, seed to buy, rotation.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use super::{crop, crop_if, own_list};
use crate::geometry::{Direction, Outline, Point};
use crate::quantities::{BadInput, Length, Percent, Spacing};
use crate::reckoning::Refusal;
use crate::season::cover::{self, CoverBook};
use crate::season::crops::{self, Crop, CropBook};
use crate::season::known::{Known, Span};
use crate::season::rotation;
use crate::season::rows::{self, Ends, OutlineCase, Pattern, RowCase};
use crate::season::seed::{self, RowSeedCase, StationsCase, USUAL_FIELD_FACTOR};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "crop",
        summary: "All that is known of a crop, and who says so.",
        example: r#"{"crop": "beet", "own": {"days": "60-70"}, "units": "us"}"#,
        run: run_crop,
    },
    Topic {
        name: "plants-in-row",
        summary: "How many plants stand in a row.",
        example: r#"{"length": "100 ft", "crop": "cabbage", "ends": "half-space", "units": "us"}"#,
        run: run_plants_in_row,
    },
    Topic {
        name: "plants-in-bed",
        summary: "How many plants stand in a bed of any outline, in rows, a square or an offset grid.",
        example: r#"{"outline": "POLYGON((0 0,6000 0,6000 1200,2000 1200,2000 2400,0 2400,0 0))", "pattern": "offset",
            "spacing": "30 cm", "side": 1}"#,
        run: run_plants_in_bed,
    },
    Topic {
        name: "seed-to-buy",
        summary: "Seed to buy for plants at stations, by germination and field factor.",
        example: r#"{"crop": "corn, sweet", "stations": 100, "seeds_each": 3, "field_factor": "85 %", "units": "us"}"#,
        run: run_seed_to_buy,
    },
    Topic {
        name: "seed-for-rows",
        summary: "Seed, plants or sets for rows, by the amount on 100 ft.",
        example: r#"{"crop": "carrot", "length": "40 ft", "units": "us"}"#,
        run: run_seed_for_rows,
    },
    Topic {
        name: "rotation",
        summary: "What speaks against a crop on a bed, by what grew there before.",
        example: r#"{"crop": "bean, bush snap", "year": 2027,
            "grown": [{"year": 2026, "crop": "cereal rye"}, {"year": 2025, "crop": "hairy vetch"}],
            "own_crops": [{"name": "moon cabbage", "family": "Brassicaceae"}]}"#,
        run: run_rotation,
    },
];

fn run_crop(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&crop(case)?.sheet(case.units()?))
}

fn run_plants_in_row(case: &Case) -> Result<Printed, TopicError> {
    let crop = crop_if(case)?;
    let (spacing, whose) = wider(case, "spacing", crop.as_ref(), |crop| crop.in_row.as_ref())?;
    let answer = rows::in_row(&RowCase {
        length: case.read("length")?,
        spacing,
        ends: ends(case)?,
        units: case.units()?,
    })?;
    Printed::of(&answer.on(whose))
}

fn run_plants_in_bed(case: &Case) -> Result<Printed, TopicError> {
    let crop = crop_if(case)?;
    let (spacing, whose) = wider(case, "spacing", crop.as_ref(), |crop| crop.in_row.as_ref())?;
    let choices = [("rows", 0), ("square", 1), ("offset", 2)];
    let mut bases = vec![whose];
    let pattern = match case.choice("pattern", &choices)? {
        0 => {
            let (between, whose) = wider(case, "row_spacing", crop.as_ref(), |crop| {
                crop.rows.as_ref()
            })?;
            bases.push(whose);
            Pattern::Rows(between)
        }
        1 => Pattern::Square,
        _ => Pattern::Offset,
    };
    let choices = [("east", Direction::East), ("north", Direction::North)];
    let side = case.whole_if("side", 1..=1_000)?;
    let along = match case.choice_if("along", &choices)? {
        Some(along) => along,
        None => side
            .and_then(|side| usize::try_from(side).ok())
            .map_or(Direction::East, Direction::Side),
    };
    let mut answer = rows::in_outline(&OutlineCase {
        outline: outline(case)?,
        along,
        pattern,
        spacing,
        ends: ends(case)?,
        side_margin: case.read_if("side_margin")?,
        units: case.units()?,
    })?;
    for basis in bases {
        answer = answer.on(basis);
    }
    Printed::of(&answer)
}

/// A bed by its outline, or a rectangle by its sides.
fn outline(case: &Case) -> Result<Outline, BadInput> {
    if let Some(outline) = case.read_if_by("outline", Outline::parse)? {
        return Ok(outline);
    }
    let length: Length = case.read("length")?;
    Outline::rectangle(Point::default(), length, case.read("width")?)
}

fn ends(case: &Case) -> Result<Ends, BadInput> {
    let choices = [
        ("half-space", Ends::HalfSpace),
        ("plants-on-ends", Ends::PlantsOnEnds),
    ];
    let named = case.choice_if("ends", &choices)?;
    let margin = case.read_if("margin")?.map(Ends::Margin);
    if named.is_some() && margin.is_some() {
        return Err(BadInput::new("margin", "either ends or a margin", "both"));
    }
    Ok(named.or(margin).unwrap_or(Ends::HalfSpace))
}

/// A distance as put in, or the wider end of the crop's, and whose it is.
fn wider(
    case: &Case,
    field: &'static str,
    crop: Option<&Crop>,
    pick: impl Fn(&Crop) -> Option<&Known<Span<Spacing>>>,
) -> Result<(Spacing, String), TopicError> {
    if let Some(spacing) = case.read_if(field)? {
        return Ok((
            spacing,
            format!("The {} as put in.", field.replace('_', " ")),
        ));
    }
    let Some(crop) = crop else {
        return Err(
            BadInput::new(field, "a spacing such as 30 cm, or a crop that has one", "").into(),
        );
    };
    match pick(crop) {
        Some(known) => {
            let whose = format!("The wider end of {}: {}.", crop.name, known.origin.words());
            Ok((known.value.most, whose))
        }
        None => Err(missing(field, crop).into()),
    }
}

fn missing(what: &str, crop: &Crop) -> Refusal {
    Refusal::Missing {
        what: format!("The {} of {}", what.replace('_', " "), crop.name),
        why: "the table has no confirmed figure, so put in an own one".to_owned(),
    }
}

fn run_seed_to_buy(case: &Case) -> Result<Printed, TopicError> {
    let crop = crop_if(case)?;
    let packet = case.read_if::<Percent>("germination")?;
    let (germination, whose) = match (packet, &crop) {
        (Some(packet), _) => (packet, "Germination as put in.".to_owned()),
        (None, Some(crop)) => {
            let known = crop
                .germination
                .as_ref()
                .ok_or_else(|| missing("germination", crop))?;
            (
                known.value,
                format!("Germination: {}.", known.origin.words()),
            )
        }
        (None, None) => {
            return Err(BadInput::new("germination", "a percentage, or a crop", "").into());
        }
    };
    let of_crop = crop
        .as_ref()
        .and_then(|crop| crop.seeds_per_oz.as_ref())
        .map(|known| known.value);
    let answer = seed::for_stations(&StationsCase {
        stations: case.whole("stations", 0..=1_000_000_000)?,
        seeds_each: case.whole_if("seeds_each", 0..=1_000)?.unwrap_or(1),
        germination,
        field_factor: case.read_if("field_factor")?.unwrap_or(USUAL_FIELD_FACTOR),
        past_keeping: case.flag_if("past_keeping")?.unwrap_or(false),
        seeds_per_oz: case.whole_if("seeds_per_oz", 1..=1_000_000)?.or(of_crop),
        units: case.units()?,
    })?;
    Printed::of(&answer.on(whose))
}

fn run_seed_for_rows(case: &Case) -> Result<Printed, TopicError> {
    let crop = crop(case)?;
    let on_100_ft = crop
        .seed
        .clone()
        .ok_or_else(|| missing("seed on 100 ft", &crop))?;
    let answer = seed::for_rows(&RowSeedCase {
        length: case.read("length")?,
        on_100_ft,
        seeds_per_oz: crop.seeds_per_oz.as_ref().map(|known| known.value),
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_rotation(case: &Case) -> Result<Printed, TopicError> {
    let crops = CropBook::with(&own_list(case, "own_crops", &crops::COLUMNS)?)?;
    let covers = CoverBook::with(&own_list(case, "own_cover_crops", &cover::COLUMNS)?)?;
    let planned = case.words("crop")?;
    let mut grown = Vec::new();
    for entry in case.list("grown")? {
        let year = entry.whole("year", 1_900..=2_300)?;
        grown.push(rotation::grown(
            year,
            &entry.words("crop")?,
            &crops,
            &covers,
        )?);
    }
    let family = rotation::family_of(&planned, &crops, &covers)?;
    let year = case.whole("year", 1_900..=2_300)?;
    Printed::of(&rotation::check(&planned, &family, year, &grown)?)
}
