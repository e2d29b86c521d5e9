//! Topics over [`crate::soil::pile`]: mixes, recipes, the log of a pile's heat, curing and shrinkage.

use super::case::Case;
use super::{Printed, Topic, TopicError};
use crate::quantities::{BadInput, Density, Mass, Percent, Units, Volume};
use crate::soil::pile::feedstocks::feedstock;
use crate::soil::pile::log::{self, Entry, Kind, ManureAdded, PileLog};
use crate::soil::pile::recipe::{self, Goal, Goals};
use crate::soil::pile::{Makeup, Material, Portion, finish, mix};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "pile-mix",
        summary: "Moisture and carbon to nitrogen of a pile, from analyses or printed values.",
        example: r#"{"units": "us", "pile": [
            {"name": "hay", "mass": "50 lb", "moisture": "0 %", "nitrogen": "1 %", "carbon": "40 %"},
            {"printed": "leaves", "volume": "1 cu yd", "bulk_density": "120 lb/cu yd"}]}"#,
        run: run_mix,
    },
    Topic {
        name: "pile-recipe",
        summary: "How much of one or two materials brings a pile to its moisture and its carbon to nitrogen.",
        example: r#"{"units": "us", "moisture": "55 %", "ratio": "30:1",
            "pile": [{"name": "straw", "mass": "300 lb", "moisture": "12 %", "nitrogen": "0.7 %", "ratio": "80:1"}],
            "add": [{"name": "hen manure", "moisture": "69 %", "nitrogen": "8 %", "ratio": "6:1"}, {"printed": "water"}]}"#,
        run: run_recipe,
    },
    Topic {
        name: "pile-log",
        summary: "Whether a pile has been hot enough, day by day, for its manure to count as compost.",
        example: r#"{"units": "us", "kind": "air-blown", "start_ratio": "30:1", "days": [
            {"day": "2026-05-01", "probes": ["138 F", "144 F"]}, {"day": "2026-05-02", "probes": ["141 F"], "turned": true},
            {"day": "2026-05-03", "probes": ["139 F"]}]}"#,
        run: run_log,
    },
    Topic {
        name: "pile-curing",
        summary: "When a pile that no longer heats is cured.",
        example: r#"{"cool_since": "2026-07-01", "core": "75 F", "air": "68 F", "units": "us"}"#,
        run: run_curing,
    },
    Topic {
        name: "pile-size",
        summary: "How much raw material makes so much finished compost.",
        example: r#"{"finished": "2 cu yd", "shrinkage": "60 %", "units": "us"}"#,
        run: run_size,
    },
];

fn run_mix(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&mix::of(&pile(case)?, case.units()?)?)
}

fn run_recipe(case: &Case) -> Result<Printed, TopicError> {
    let (units, pile) = (case.units()?, pile(case)?);
    let mut materials = Vec::new();
    for added in case.list("add")? {
        materials.push(material(&added)?);
    }
    let (moisture, ratio) = (case.read_if("moisture")?, case.read_if("ratio")?);
    let answer = match (materials.as_slice(), moisture, ratio) {
        ([only], Some(moisture), None) => {
            recipe::add_one(&pile, only, Goal::Moisture(moisture), units)?
        }
        ([only], None, Some(ratio)) => recipe::add_one(&pile, only, Goal::Ratio(ratio), units)?,
        ([first, second], Some(moisture), Some(ratio)) => {
            recipe::add_two(&pile, first, second, Goals { moisture, ratio }, units)?
        }
        _ => {
            let goals = usize::from(moisture.is_some()) + usize::from(ratio.is_some());
            let expected =
                "one material with one of moisture and ratio, or two materials with both";
            let came = format!("{} materials and {goals} goals", materials.len());
            return Err(BadInput::new("add", expected, came).into());
        }
    };
    Printed::of(&answer)
}

fn pile(case: &Case) -> Result<Vec<Portion>, TopicError> {
    let mut pile = Vec::new();
    for entry in case.list("pile")? {
        let material = material(&entry)?;
        let mass = match (
            entry.read_if::<Mass>("mass")?,
            entry.read_if::<Volume>("volume")?,
        ) {
            (Some(mass), None) => mass,
            (None, Some(volume)) => match material.density {
                Some(density) => density.weigh(volume),
                None => entry.read::<Density>("bulk_density")?.weigh(volume),
            },
            (Some(_), Some(_)) | (None, None) => {
                let expected = "a weight as mass, or a volume with bulk_density";
                let came = if entry.has("mass") { "both" } else { "" };
                return Err(BadInput::new(entry.name("mass"), expected, came).into());
            }
        };
        pile.push(Portion { material, mass });
    }
    Ok(pile)
}

/// A material by its printed values, or by its analysis.
fn material(entry: &Case) -> Result<Material, TopicError> {
    let density = entry.read_if::<Density>("bulk_density")?;
    let material = match entry.words_if("printed")? {
        Some(name) if name == "water" => return Ok(Material::water()),
        Some(name) => Material::printed(feedstock(&name)?),
        None => Material::analysed(entry.words("name")?, makeup(entry)?),
    };
    Ok(Material {
        density,
        ..material
    })
}

fn makeup(entry: &Case) -> Result<Makeup, TopicError> {
    let (moisture, nitrogen) = (entry.read("moisture")?, entry.read("nitrogen")?);
    Ok(match entry.read_if::<Percent>("carbon")? {
        Some(carbon) => Makeup::by_carbon(moisture, nitrogen, carbon)?,
        None => Makeup::by_ratio(moisture, nitrogen, entry.read("ratio")?)?,
    })
}

const KINDS: [(&str, Kind); 3] = [
    ("turned", Kind::Turned),
    ("air-blown", Kind::AirBlown),
    ("plants-only", Kind::PlantsOnly),
];

fn run_log(case: &Case) -> Result<Printed, TopicError> {
    let mut entries = Vec::new();
    for day in case.list("days")? {
        let ratio = day.read_if("ratio_after")?;
        let probes = if day.has("probes") {
            day.read_each("probes")?
        } else {
            Vec::new()
        };
        entries.push(Entry {
            day: day.read("day")?,
            probes,
            turned: day.flag_if("turned")?.unwrap_or(false),
            manure: day
                .flag_if("manure_added")?
                .unwrap_or(false)
                .then_some(ManureAdded { ratio }),
        });
    }
    let log = PileLog {
        kind: case.choice("kind", &KINDS)?,
        start_ratio: case.read_if("start_ratio")?,
        entries,
    };
    Printed::of(&log::judge(&log, case.units()?)?)
}

fn run_curing(case: &Case) -> Result<Printed, TopicError> {
    let core_and_air = match (case.read_if("core")?, case.read_if("air")?) {
        (Some(core), Some(air)) => Some((core, air)),
        (None, None) => None,
        (Some(_), None) | (None, Some(_)) => {
            return Err(
                BadInput::new("core", "both core and air, or neither", "one of them").into(),
            );
        }
    };
    let units: Units = case.units()?;
    Printed::of(&finish::curing(
        case.read("cool_since")?,
        core_and_air,
        units,
    ))
}

fn run_size(case: &Case) -> Result<Printed, TopicError> {
    let (finished, shrinkage) = (case.read("finished")?, case.read_if("shrinkage")?);
    Printed::of(&finish::raw_for(finished, shrinkage, case.units()?)?)
}
