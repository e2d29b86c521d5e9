//! Cover crops: when, how much seed, how much nitrogen.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use super::own_list;
use crate::quantities::{BadInput, Percent};
use crate::season::cover::nitrogen::{self, NitrogenCase, Plant, Used};
use crate::season::cover::seed::{self, Part, SeedCase, Sown};
use crate::season::cover::window;
use crate::season::cover::{COLUMNS, CoverBook};
use crate::season::known::Span;

pub(super) const TOPICS: &[Topic] = &[
    Topic {
        name: "cover-window",
        summary: "From when to when a cover crop is sown, by the first frost of fall.",
        example: r#"{"cover_crop": "buckwheat", "first_frost": "2027-10-15"}"#,
        run: run_window,
    },
    Topic {
        name: "cover-seed",
        summary: "How much seed of a cover crop, or of each in a mix, an area takes.",
        example: r#"{"mix": [{"cover_crop": "cereal rye"}, {"cover_crop": "hairy vetch", "share": "60 %"}],
            "area": "400 sq ft", "sown": "garden", "own": [{"name": "hairy vetch", "garden": "1.2 lb/1000 sq ft"}], "units": "us"}"#,
        run: run_seed,
    },
    Topic {
        name: "cover-nitrogen",
        summary: "The nitrogen of a cover crop, from a cut and dried sample.",
        example: r#"{"dry": "1.2 lb", "cut": "8 sq ft", "plant": "annual-legume", "flowering": false, "used": "turned-in",
            "units": "us"}"#,
        run: run_nitrogen,
    },
];

fn run_window(case: &Case) -> Result<Printed, TopicError> {
    let book = CoverBook::with(&own_list(case, "own", &COLUMNS)?)?;
    let cover = book.find(&case.words("cover_crop")?)?;
    Printed::of(&window::window(cover, case.read("first_frost")?)?)
}

fn run_seed(case: &Case) -> Result<Printed, TopicError> {
    let book = CoverBook::with(&own_list(case, "own", &COLUMNS)?)?;
    let mut parts = Vec::new();
    for entry in case.list("mix")? {
        let cover = book.find(&entry.words("cover_crop")?);
        parts.push(Part {
            cover: cover
                .map_err(|refused| refused.named(entry.name("cover_crop")))?
                .clone(),
            share: entry.read_if("share")?,
        });
    }
    let ways = [
        ("garden", Sown::Garden),
        ("broadcast", Sown::Broadcast),
        ("drilled", Sown::Drilled),
    ];
    let answer = seed::seed(&SeedCase {
        parts,
        area: case.read("area")?,
        sown: case.choice_if("sown", &ways)?.unwrap_or(Sown::Garden),
        units: case.units()?,
    })?;
    Printed::of(&answer)
}

fn run_nitrogen(case: &Case) -> Result<Printed, TopicError> {
    let plants = [
        ("annual-legume", Plant::AnnualLegume),
        ("perennial-legume", Plant::PerennialLegume),
        ("grass-or-brassica", Plant::GrassOrBrassica),
    ];
    let plant = case.choice_if("plant", &plants)?;
    let flowering = case.flag_if("flowering")?;
    let share = match (case.read_if::<Percent>("nitrogen")?, plant) {
        (Some(share), _) => Span::one(share),
        (None, Some(plant)) => {
            // In flower a plant holds less: without word the smaller figure is taken.
            nitrogen::usual_share(plant, flowering.unwrap_or(true))
        }
        (None, None) => {
            return Err(BadInput::new("nitrogen", "a percentage, or a kind of plant", "").into());
        }
    };
    let ways = [
        ("turned-in", Used::TurnedIn),
        ("on-top-warm", Used::OnTopWarm),
        ("on-top-cool", Used::OnTopCool),
    ];
    let answer = nitrogen::nitrogen(&NitrogenCase {
        dry: case.read("dry")?,
        cut: case.read("cut")?,
        share,
        used: case.choice("used", &ways)?,
        units: case.units()?,
    })?;
    Printed::of(&answer)
}
