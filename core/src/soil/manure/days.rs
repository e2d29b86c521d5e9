//! Raw manure and picking: how long to wait, for a bed with several crops.
//!
//! By 7 CFR 205.203(c)(1) (S26) raw manure is worked into the soil at least 120 days before the harvest of what touches the soil or
//! its splash, and at least 90 days before the harvest of what does not:
//!
//! - earliest picking = digging in + 120 or + 90 days
//! - latest digging in = first picking − 120 or − 90 days
//!
//! The days run from digging in to every picking, not to planting; manure that was only spread starts nothing. A bed takes the
//! strictest of its crops, and a crop of which nobody knows counts as touching. It is an organic rule and good practice, not a law
//! for gardens; some buyers ask for a year. Hens or other animals on the bed: sources differ (S53, S54), and the days are counted
//! from their leaving. The same days hold for aged and heaped manure without a record of its heat (S34).
//!
//! ```
//! use selion_core::quantities::{Day, Units};
//! use selion_core::soil::manure::contact::Contact;
//! use selion_core::soil::manure::days::{self, Crop};
//!
//! let crops = [
//!     Crop { name: "lettuce".into(), contact: Contact::Touches, first_pick: Day::parse("2025-06-01")? },
//!     Crop { name: "sweet corn".into(), contact: Contact::Clear, first_pick: Day::parse("2025-08-01")? },
//! ];
//! let latest = days::latest_digging_in(&crops)?;
//! assert!(latest.to_string().starts_with("Dig the manure in by 2025-02-01, for the lettuce\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::contact::Contact;
use crate::quantities::Day;
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// What is put on the bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ManureKind {
    /// Fresh, aged or heaped manure without a record of its heat, and bedding with droppings.
    Raw,
    /// Hens or other animals on the bed itself; the day is the one on which they left.
    AnimalsOnTheBed,
    /// Compost whose log shows the heat.
    HotComposted,
    /// Processed manure, heated and dried, as sold in bags.
    Processed,
    /// Compost or waste of plants alone.
    PlantsOnly,
    /// Of cats, dogs or pigs.
    CatDogOrPig,
}

/// How the manure lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Placement {
    /// Worked into the soil on this day.
    DugIn(Day),
    /// Only spread on it.
    OnTheSurface,
}

/// A crop of the bed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Crop {
    /// What it is.
    pub name: String,
    /// Whether the part that is eaten touches the soil.
    pub contact: Contact,
    /// When it is to be picked first.
    pub first_pick: Day,
}

/// From when one crop may be picked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CropDay {
    /// The crop.
    pub name: String,
    /// How many days it waits.
    pub interval: i64,
    /// From when it may be picked.
    pub from: Day,
    /// How many days its first picking would come too early; nothing where it is late enough.
    pub too_early_by: Option<i64>,
}

/// From when a bed may be picked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PickingDays {
    /// Crop by crop; none where there is nothing to wait for.
    pub crops: Vec<CropDay>,
    /// From when anything on the bed may be picked by the strictest of its crops.
    pub whole_bed_from: Option<Day>,
}

impl fmt::Display for PickingDays {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(from) = self.whole_bed_from else {
            return out.write_str("No days to wait");
        };
        let early: Vec<&CropDay> = self
            .crops
            .iter()
            .filter(|crop| crop.too_early_by.is_some())
            .collect();
        if early.is_empty() {
            write!(
                out,
                "Every picking is late enough; the whole bed from {from}"
            )?;
        }
        for (index, crop) in early.into_iter().enumerate() {
            let line = if index == 0 { "" } else { "\n" };
            let days = match crop.too_early_by {
                Some(1) => "1 day".to_owned(),
                days => format!("{} days", days.unwrap_or_default()),
            };
            write!(
                out,
                "{line}Do not pick {} before {}: planned {days} too early",
                crop.name, crop.from
            )?;
        }
        Ok(())
    }
}

/// When manure must be in the soil.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LatestDay {
    /// The last day.
    pub day: Day,
    /// The crop that asks for it.
    pub strictest: String,
}

impl fmt::Display for LatestDay {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            out,
            "Dig the manure in by {}, for the {}",
            self.day, self.strictest
        )
    }
}

/// The days to wait for a crop, 120 or 90.
pub fn interval(contact: Contact) -> i64 {
    if contact.counts_as_contact() { 120 } else { 90 }
}

/// From when the crops of a bed may be picked after this manure.
pub fn earliest_picking(
    kind: ManureKind,
    placement: Placement,
    crops: &[Crop],
) -> Result<Reckoning<PickingDays>, Refusal> {
    if let Some(why) = nothing_to_wait_for(kind)? {
        let result = PickingDays {
            crops: Vec::new(),
            whole_bed_from: None,
        };
        return Ok(Reckoning::new(result, why));
    }
    let dug_in = match (placement, kind) {
        (Placement::DugIn(day), _) => day,
        (Placement::OnTheSurface, _) => {
            return Err(Refusal::Missing {
                what: "The day on which the manure was dug in".to_owned(),
                why: "the days run from working it into the soil; manure that lies on the surface starts nothing".to_owned(),
            });
        }
    };
    check(crops)?;
    let crop_days: Vec<CropDay> = crops.iter().map(|crop| crop_day(crop, dug_in)).collect();
    let whole_bed_from = crop_days.iter().map(|crop| crop.from).max();
    let begun = if kind == ManureKind::AnimalsOnTheBed {
        "Animals left"
    } else {
        "Dug in"
    };
    let mut answer = Reckoning::new(
        PickingDays {
            crops: crop_days,
            whole_bed_from,
        },
        organic_rule(),
    )
    .step(Step::new(begun, dug_in.to_string()));
    for crop in crops {
        let label = format!("{}, {}", crop.name, crop.contact.words());
        let from = dug_in.plus_days(interval(crop.contact));
        answer = answer.step(Step::new(
            label,
            format!("+ {} days = {from}", interval(crop.contact)),
        ));
    }
    if let Some(from) = whole_bed_from {
        answer = answer.step(Step::sum("Strictest", from.to_string()));
    }
    if kind == ManureKind::AnimalsOnTheBed {
        answer = answer.on("Sources differ on animals on the bed [compost S53, S54]; the days of raw manure are taken.");
    }
    Ok(with_practice(answer))
}

/// By when raw manure must be in the soil of a bed with these crops.
pub fn latest_digging_in(crops: &[Crop]) -> Result<Reckoning<LatestDay>, Refusal> {
    check(crops)?;
    let latest = |crop: &Crop| crop.first_pick.plus_days(-interval(crop.contact));
    let Some(strictest) = crops.iter().min_by_key(|crop| latest(crop)) else {
        return Err(no_crops());
    };
    let result = LatestDay {
        day: latest(strictest),
        strictest: strictest.name.clone(),
    };
    let mut answer = Reckoning::new(result, organic_rule());
    for crop in crops {
        let label = format!("{}, {}", crop.name, crop.contact.words());
        let days = interval(crop.contact);
        let value = format!("{} − {days} days = {}", crop.first_pick, latest(crop));
        answer = answer.step(Step::new(label, value));
    }
    let day = answer.result.day.to_string();
    Ok(with_practice(answer.step(Step::sum("Strictest", day))))
}

fn crop_day(crop: &Crop, dug_in: Day) -> CropDay {
    let interval = interval(crop.contact);
    let from = dug_in.plus_days(interval);
    let early = crop.first_pick.days_until(from);
    CropDay {
        name: crop.name.clone(),
        interval,
        from,
        too_early_by: (early > 0).then_some(early),
    }
}

/// The rule under which there is nothing to wait for; nothing where there is; a refusal for what belongs on no bed.
fn nothing_to_wait_for(kind: ManureKind) -> Result<Option<Source>, Refusal> {
    let words = match kind {
        ManureKind::Raw | ManureKind::AnimalsOnTheBed => return Ok(None),
        ManureKind::HotComposted => {
            "7 CFR 205.203(c)(2): compost that met its time and heat [compost S26]; its log must show it."
        }
        ManureKind::Processed => {
            "Processed manure: 150 °F for an hour or 165 °F, dried to 12 % or less [compost S52]."
        }
        ManureKind::PlantsOnly => "7 CFR 205.203(c)(3): uncomposted plant material [compost S26].",
        ManureKind::CatDogOrPig => {
            return Err(Refusal::OutsideTheRule {
                field: "manure".to_owned(),
                bounds: "manure of plant-eating animals and poultry".to_owned(),
                came: "manure of cats, dogs or pigs, whose parasites outlive a pile".to_owned(),
            });
        }
    };
    Ok(Some(Source::published(words)))
}

fn organic_rule() -> Source {
    Source::published(
        "7 CFR 205.203(c)(1): 120 days with soil contact, 90 without, from working in to harvest [compost S26].",
    )
}

fn with_practice<T>(answer: Reckoning<T>) -> Reckoning<T> {
    answer
        .on("An organic rule and good practice. Never in the growing season; worked in within 72 hours [compost S56].")
        .on("A mulch does not lift a crop off the soil: what lies low keeps its 120 days.")
        .caution(Caution::RawManure)
}

/// The most crops of one bed.
const MOST_CROPS: usize = 200;

fn check(crops: &[Crop]) -> Result<(), Refusal> {
    if crops.is_empty() {
        return Err(no_crops());
    }
    if crops.len() > MOST_CROPS {
        let came = crops.len().to_string();
        return Err(Refusal::bad(
            "crops",
            format!("at most {MOST_CROPS} on a bed"),
            came,
        ));
    }
    Ok(())
}

fn no_crops() -> Refusal {
    Refusal::bad("crops", "at least one, with its first picking", "")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day(text: &str) -> Day {
        Day::parse(text).unwrap()
    }

    fn crop(name: &str, contact: Contact, first_pick: &str) -> Crop {
        Crop {
            name: name.to_owned(),
            contact,
            first_pick: day(first_pick),
        }
    }

    #[test]
    fn a_planned_picking_that_is_too_early_is_named() {
        let crops = [
            crop("lettuce", Contact::Touches, "2025-07-29"),
            crop("staked tomato", Contact::Clear, "2025-07-29"),
        ];
        let answer =
            earliest_picking(ManureKind::Raw, Placement::DugIn(day("2025-04-01")), &crops).unwrap();
        let said = answer.to_string();
        assert!(
            said.starts_with("Do not pick lettuce before 2025-07-30: planned 1 day too early\n"),
            "{said}"
        );
        assert_eq!(answer.result.crops[1].too_early_by, None);
        assert_eq!(answer.result.whole_bed_from, Some(day("2025-07-30")));
        assert_eq!(answer.cautions, [Caution::RawManure]);
    }

    #[test]
    fn what_is_not_raw_has_no_days_and_what_belongs_on_no_bed_is_refused() {
        let crops = [crop("lettuce", Contact::Touches, "2025-07-29")];
        for kind in [
            ManureKind::HotComposted,
            ManureKind::Processed,
            ManureKind::PlantsOnly,
        ] {
            let answer = earliest_picking(kind, Placement::OnTheSurface, &crops).unwrap();
            assert!(answer.to_string().starts_with("No days to wait\n"));
        }
        let refusal =
            earliest_picking(ManureKind::CatDogOrPig, Placement::OnTheSurface, &crops).unwrap_err();
        assert_eq!(refusal.code(), "outside_the_rule");
    }

    #[test]
    fn manure_on_the_surface_starts_nothing() {
        let crops = [crop("lettuce", Contact::Touches, "2025-07-29")];
        let refusal =
            earliest_picking(ManureKind::Raw, Placement::OnTheSurface, &crops).unwrap_err();
        assert_eq!(refusal.code(), "missing");
    }

    #[test]
    fn a_bed_without_crops_is_refused() {
        assert!(latest_digging_in(&[]).is_err());
        let many = vec![crop("lettuce", Contact::Touches, "2025-07-29"); 201];
        assert!(latest_digging_in(&many).is_err());
        assert!(
            earliest_picking(ManureKind::Raw, Placement::DugIn(day("2025-04-01")), &[]).is_err()
        );
    }

    fn any_crops() -> impl Strategy<Value = Vec<Crop>> {
        let contact =
            prop::sample::select(vec![Contact::Touches, Contact::Clear, Contact::Unknown]);
        prop::collection::vec((contact, 0_i64..400), 1..8).prop_map(|crops| {
            let crop = |(contact, days)| Crop {
                name: "crop".to_owned(),
                contact,
                first_pick: day("2026-01-01").plus_days(days),
            };
            crops.into_iter().map(crop).collect()
        })
    }

    proptest! {
        /// Both questions are one rule: dug in on the latest day nothing is too early, one day later something is.
        #[test]
        fn the_latest_day_is_the_last_on_which_nothing_is_too_early(crops in any_crops()) {
            let latest = latest_digging_in(&crops).unwrap().result.day;
            let too_early = |dug_in| {
                let answer = earliest_picking(ManureKind::Raw, Placement::DugIn(dug_in), &crops).unwrap();
                answer.result.crops.iter().any(|crop| crop.too_early_by.is_some())
            };
            prop_assert!(!too_early(latest));
            prop_assert!(too_early(latest.plus_days(1)));
        }

        #[test]
        fn one_more_crop_never_loosens_a_bed(crops in any_crops(), more in any_crops()) {
            let both: Vec<Crop> = crops.iter().chain(&more).cloned().collect();
            let latest = |crops: &[Crop]| latest_digging_in(crops).unwrap().result.day;
            prop_assert!(latest(&both) <= latest(&crops));
        }
    }
}
