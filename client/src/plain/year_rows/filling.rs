//! What fits where a bed is free, and the way to plan it there.

use std::fmt::Write as _;

use selion_core::document::ids::BedId;
use selion_core::document::season_plan::fits::{CoverFit, CropFit};
use selion_core::document::season_plan::year_view::Filling;
use selion_core::quantities::{Day, Units};

use super::told::said;

/// Something that fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FitRow {
    /// What.
    pub name: String,
    /// When it is sown, and what else is to be known.
    pub small: String,
    /// Where it is planned.
    pub href: String,
}

/// The crops that fit, and the cover crops.
pub fn rows(filling: &Filling, bed: BedId, units: Units) -> (Vec<FitRow>, Vec<FitRow>) {
    let year = filling.gap.from.year();
    // The year ends a gap that nothing else ends; what is planned there may go on.
    let until = (!filling.gap.open_ended).then_some(filling.gap.to);
    let crops = filling.crops.iter();
    let crops = crops.map(|fit| crop_row(fit, (bed, until), year));
    let covers = filling.covers.iter();
    let covers = covers.map(|fit| cover_row(fit, (bed, until), units, year));
    (crops.collect(), covers.collect())
}

fn sown(from: Day, by: Day, year: i16) -> String {
    if from == by {
        format!("Sow on {}", said(from, year))
    } else {
        format!("Sow from {} to {}", said(from, year), said(by, year))
    }
}

fn crop_row(fit: &CropFit, (bed, until): (BedId, Option<Day>), year: i16) -> FitRow {
    FitRow {
        name: fit.crop.clone(),
        small: sown(fit.sow_from, fit.sow_by, year),
        href: plan_href(bed, &fit.crop, false, (fit.sow_from, until)),
    }
}

fn cover_row(
    fit: &CoverFit,
    (bed, until): (BedId, Option<Day>),
    units: Units,
    year: i16,
) -> FitRow {
    let mut words = vec![sown(fit.sow_from, fit.sow_by, year)];
    if let Some(seed) = fit.seed {
        let (least, most) = (seed.least.show(units), seed.most.show(units));
        words.push(if least == most {
            format!("seed {least}")
        } else {
            format!("seed {least} to {most}")
        });
    }
    match fit.end_by {
        Some(end) => words.push(format!("end it by {}", said(end, year))),
        None => words.push("nothing follows it this year".to_owned()),
    }
    if let Some(stop) = &fit.stop_when {
        words.push(stop.clone());
    }
    if let Some(wait) = fit.wait_weeks {
        words.push(if wait.least == wait.most {
            format!("wait {} weeks before sowing", wait.most)
        } else {
            format!("wait {} to {} weeks before sowing", wait.least, wait.most)
        });
    }
    if let Some(nitrogen) = fit.nitrogen {
        words.push(format!(
            "nitrogen for the next crop {} to {}, turned in",
            nitrogen.least.show(units),
            nitrogen.most.show(units)
        ));
    }
    FitRow {
        name: fit.cover.clone(),
        small: words.join(" · "),
        href: plan_href(bed, &fit.cover, true, (fit.sow_from, fit.end_by.or(until))),
    }
}

/// The address of the sheet that plans something in a bed.
pub fn plan_href(bed: BedId, crop: &str, cover: bool, (from, until): (Day, Option<Day>)) -> String {
    let mut name = String::new();
    for byte in crop.bytes() {
        if byte.is_ascii_alphanumeric() {
            name.push(char::from(byte));
        } else {
            let _always_fits = write!(name, "%{byte:02X}");
        }
    }
    let cover = if cover { "&cover=yes" } else { "" };
    let until = until.map_or_else(String::new, |day| format!("&until={day}"));
    format!("/bed/{bed}/plant?crop={name}{cover}&from={from}{until}")
}
