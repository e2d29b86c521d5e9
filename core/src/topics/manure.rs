//! Topics over [`crate::soil::manure`]: days before picking, herbicide, and nitrogen.

use super::case::Case;
use super::{Printed, Topic, TopicError};
use crate::quantities::{BadInput, Percent};
use crate::soil::manure::analysis::{self, Appetite, FreshManure, Nutrients};
use crate::soil::manure::contact::{self, Contact};
use crate::soil::manure::days::{self, Crop, ManureKind, Placement};
use crate::soil::manure::herbicide::{self, Load, PotTest, SprayHistory};
use crate::soil::manure::nitrogen::{
    self, Counted, DugInAfter, EarlierYear, NitrogenAnalysis, PlanCase, Release,
};

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "manure-days",
        summary: "From when the crops of a bed may be picked after manure.",
        example: r#"{"kind": "raw", "dug_in": "2025-04-01", "crops": [
            {"name": "lettuce", "first_pick": "2025-07-20"}, {"name": "staked tomato", "first_pick": "2025-07-20"}]}"#,
        run: run_days,
    },
    Topic {
        name: "manure-latest-day",
        summary: "By when raw manure must be dug in, for a bed with these crops.",
        example: r#"{"crops": [{"name": "lettuce", "first_pick": "2025-06-01"},
            {"name": "flint corn", "contact": "clear", "first_pick": "2025-08-01"}]}"#,
        run: run_latest_day,
    },
    Topic {
        name: "herbicide-pots",
        summary: "The pot test for herbicide: its steps, amounts and dates.",
        example: r#"{"sown_on": "2026-02-20", "pots": 4, "pot": "1 l"}"#,
        run: run_pots,
    },
    Topic {
        name: "herbicide",
        summary: "Whether a load may be spread, by its spray history and its pot test.",
        example: r#"{"history": "unknown", "test": {"test_pots": 4, "test_pots_harmed": 0, "control_pots": 4,
            "control_pots_harmed": 0, "sets_of_true_leaves": 3}}"#,
        run: run_herbicide,
    },
    Topic {
        name: "manure-rate",
        summary: "Printed garden rates of manure, with the nitrogen that they count.",
        example: r#"{"fresh": "dairy", "appetite": "moderate", "area": "100 sq ft", "units": "us"}"#,
        run: run_rate,
    },
    Topic {
        name: "manure-for-nitrogen",
        summary: "How much manure brings a wanted amount of nitrogen.",
        example: r#"{"wanted": "80 lb/acre", "nitrogen": "3.2 %", "phosphate": "5.2 %", "potash": "1.8 %", "counted": "all",
            "area": "1 acre", "units": "us"}"#,
        run: run_for_nitrogen,
    },
    Topic {
        name: "manure-plan",
        summary: "Manure for wanted nitrogen by its full analysis: ammonia loss, slow release, earlier years.",
        example: r#"{"wanted": "100 lb/acre", "ammonium": "0.25 %", "organic": "0.25 %", "dug_in_after": "1", "release": "cornell-cattle-wet",
            "earlier": [{"years_ago": 1, "rate": "10 tons/acre", "organic": "0.25 %"}], "area": "1000 sq ft", "units": "us"}"#,
        run: run_plan,
    },
    Topic {
        name: "nitrogen-credits",
        summary: "Nitrogen that manure of earlier years still gives.",
        example: r#"{"release": "cornell-cattle-wet", "units": "us", "earlier": [{"years_ago": 1, "rate": "10 tons/acre", "organic": "0.25 %"},
            {"years_ago": 2, "rate": "10 tons/acre", "organic": "0.25 %"}]}"#,
        run: run_credits,
    },
    Topic {
        name: "ammonia",
        summary: "Ammonium nitrogen left after spreading, by how soon it is dug in.",
        example: r#"{"ammonium": "10 lb", "dug_in_after": "2", "units": "us"}"#,
        run: run_ammonia,
    },
    Topic {
        name: "nitrogen-autumn",
        summary: "Usable nitrogen of manure spread in autumn, Ontario's shortcut.",
        example: r#"{"nitrogen": "0.6 %", "units": "us"}"#,
        run: run_autumn,
    },
];

const KINDS: [(&str, ManureKind); 6] = [
    ("raw", ManureKind::Raw),
    ("animals-on-the-bed", ManureKind::AnimalsOnTheBed),
    ("hot-composted", ManureKind::HotComposted),
    ("processed", ManureKind::Processed),
    ("plants-only", ManureKind::PlantsOnly),
    ("cat-dog-or-pig", ManureKind::CatDogOrPig),
];

const CONTACTS: [(&str, Contact); 3] = [
    ("touches", Contact::Touches),
    ("clear", Contact::Clear),
    ("unknown", Contact::Unknown),
];

fn run_days(case: &Case) -> Result<Printed, TopicError> {
    let placement = case
        .read_if("dug_in")?
        .map_or(Placement::OnTheSurface, Placement::DugIn);
    let kind = case.choice("kind", &KINDS)?;
    Printed::of(&days::earliest_picking(kind, placement, &crops(case)?)?)
}

fn run_latest_day(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&days::latest_digging_in(&crops(case)?)?)
}

/// The crops of a bed; where no contact is given it is looked up by the name, and unknown where it is not listed.
fn crops(case: &Case) -> Result<Vec<Crop>, BadInput> {
    let mut crops = Vec::new();
    for crop in case.list("crops")? {
        let name = crop.words("name")?;
        let given = crop.choice_if("contact", &CONTACTS)?;
        crops.push(Crop {
            contact: given.unwrap_or_else(|| contact::of_crop(&name).0),
            first_pick: crop.read("first_pick")?,
            name,
        });
    }
    Ok(crops)
}

fn run_pots(case: &Case) -> Result<Printed, TopicError> {
    let pots = case.whole("pots", 0..=1_000)?;
    let (sown_on, pot) = (case.read("sown_on")?, case.read("pot")?);
    Printed::of(&herbicide::plan(sown_on, pots, pot, case.units()?)?)
}

const HISTORIES: [(&str, SprayHistory); 3] = [
    ("none-for-three-years", SprayHistory::NoneForThreeYears),
    ("sprayed", SprayHistory::Sprayed),
    ("unknown", SprayHistory::Unknown),
];

fn run_herbicide(case: &Case) -> Result<Printed, TopicError> {
    let count = |test: &Case, field| test.whole(field, 0..=1_000);
    let test = match case.inner_if("test")? {
        Some(test) => Some(PotTest {
            test_pots: count(&test, "test_pots")?,
            test_pots_harmed: count(&test, "test_pots_harmed")?,
            control_pots: count(&test, "control_pots")?,
            control_pots_harmed: count(&test, "control_pots_harmed")?,
            sets_of_true_leaves: count(&test, "sets_of_true_leaves")?,
        }),
        None => None,
    };
    let history = case.choice("history", &HISTORIES)?;
    Printed::of(&herbicide::judge(&Load { history, test })?)
}

const APPETITES: [(&str, Appetite); 3] = [
    ("light", Appetite::Light),
    ("moderate", Appetite::Moderate),
    ("heavy", Appetite::Heavy),
];

fn run_rate(case: &Case) -> Result<Printed, TopicError> {
    let (area, units) = (case.read("area")?, case.units()?);
    let answer = match case.words_if("fresh")? {
        Some(animal) => {
            let appetite = case.choice("appetite", &APPETITES)?;
            analysis::fresh_rate(&animal, appetite, area, units)?
        }
        None => analysis::wisconsin_rate(&case.words("wisconsin")?, area, units)?,
    };
    Printed::of(&answer)
}

fn run_for_nitrogen(case: &Case) -> Result<Printed, TopicError> {
    let nutrients = match case.words_if("fresh")? {
        Some(animal) => FreshManure::of(&animal)?.nutrients(),
        None => Nutrients {
            nitrogen: case.read("nitrogen")?,
            phosphate: case.read_if("phosphate")?,
            potash: case.read_if("potash")?,
        },
    };
    let counted = case.read_by("counted", |text| match text.trim() {
        "all" => Ok(Counted::All),
        share => Percent::parse(share)
            .map(Counted::Available)
            .map_err(|_refused| {
                let expected = "all, or the share that becomes available, such as 35 %";
                BadInput::new("counted", expected, text)
            }),
    })?;
    let (wanted, area) = (case.read("wanted")?, case.read("area")?);
    Printed::of(&nitrogen::rate_for(
        wanted,
        nutrients,
        counted,
        area,
        case.units()?,
    )?)
}

fn run_plan(case: &Case) -> Result<Printed, TopicError> {
    let plan = PlanCase {
        wanted: case.read("wanted")?,
        analysis: NitrogenAnalysis {
            ammonium: case.read("ammonium")?,
            organic: case.read("organic")?,
        },
        dug_in: dug_in_after(case)?,
        release: case.choice("release", &Release::ALL)?,
        earlier: earlier(case)?,
        area: case.read("area")?,
        units: case.units()?,
    };
    Printed::of(&nitrogen::plan(&plan)?)
}

fn run_credits(case: &Case) -> Result<Printed, TopicError> {
    let release = case.choice("release", &Release::ALL)?;
    Printed::of(&nitrogen::credits(&earlier(case)?, release, case.units()?)?)
}

fn run_ammonia(case: &Case) -> Result<Printed, TopicError> {
    let dug_in = dug_in_after(case)?;
    Printed::of(&nitrogen::ammonium_kept(
        case.read("ammonium")?,
        dug_in,
        case.units()?,
    )?)
}

fn run_autumn(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&nitrogen::autumn(case.read("nitrogen")?, case.units()?)?)
}

/// `at-once-below`, a number of days, or `never`.
fn dug_in_after(case: &Case) -> Result<DugInAfter, BadInput> {
    case.read_by("dug_in_after", |text| match text.trim() {
        "at-once-below" => Ok(DugInAfter::AtOnceBelow),
        "never" => Ok(DugInAfter::Never),
        days => days.parse().map(DugInAfter::Days).map_err(|_refused| {
            let expected = "at-once-below, a whole number of days, or never";
            BadInput::new("dug_in_after", expected, text)
        }),
    })
}

fn earlier(case: &Case) -> Result<Vec<EarlierYear>, BadInput> {
    let mut years = Vec::new();
    for year in case.list_if("earlier")?.unwrap_or_default() {
        years.push(EarlierYear {
            years_ago: year.whole("years_ago", 1..=2)?,
            rate: year.read("rate")?,
            organic: year.read("organic")?,
        });
    }
    Ok(years)
}
