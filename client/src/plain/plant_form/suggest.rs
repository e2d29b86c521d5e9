//! The crops that a few letters could mean.

use selion_core::document::season_plan::Books;
use selion_core::document::season_plan::fits::{CoverFit, CropFit};
use selion_core::quantities::Day;
use selion_core::season::known::Origin;

use crate::plain::plantings::rows::brief_day;
use crate::plain::wording::capital;

/// A crop to choose.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suggested {
    /// Its name, as the table has it.
    pub name: String,
    /// What to know of it.
    pub small: String,
}

/// The crops whose name, family or Latin name has these letters; those that begin with them come first.
pub fn crops(books: &Books, typed: &str, fits: &[CropFit], today: Day) -> Vec<Suggested> {
    let all = books.crops.crops().iter().map(|crop| {
        let own = crop
            .days
            .as_ref()
            .is_some_and(|days| days.origin == Origin::Own);
        let fit = fits.iter().find(|fit| fit.crop == crop.name);
        let fit = fit.map(|fit| window(fit.sow_from, fit.sow_by, today));
        let about = [crop.botanical_name.clone(), crop.family.clone()];
        (crop.name.clone(), about, own, fit)
    });
    ranked(all.collect(), typed)
}

/// The cover crops with these letters; what fits the gap comes first.
pub fn covers(books: &Books, typed: &str, fits: &[CoverFit], today: Day) -> Vec<Suggested> {
    let all = books.covers.covers().iter().map(|cover| {
        let fit = fits.iter().find(|fit| fit.cover == cover.name);
        let fit = fit.map(|fit| window(fit.sow_from, fit.sow_by, today));
        let about = [cover.kind.clone(), cover.season.clone()];
        (cover.name.clone(), about, false, fit)
    });
    ranked(all.collect(), typed)
}

fn window(from: Day, by: Day, today: Day) -> String {
    format!(
        "fits: sow {} to {}",
        brief_day(from, today),
        brief_day(by, today)
    )
}

type Known = (String, [Option<String>; 2], bool, Option<String>);

fn ranked(all: Vec<Known>, typed: &str) -> Vec<Suggested> {
    let typed = typed.trim().to_lowercase();
    // Once a name is complete, it stands first and all others below it: somebody who comes back wants another.
    let is_name = all.iter().any(|(name, ..)| name.to_lowercase() == typed);
    let wanted = if is_name { "" } else { typed.as_str() };
    let mut found: Vec<(u8, Suggested)> = Vec::new();
    for (name, about, own, fit) in all {
        let lower = name.to_lowercase();
        let about: Vec<String> = about.into_iter().flatten().collect();
        let rank = if lower == typed {
            0
        } else if lower.starts_with(wanted) {
            1
        } else if lower.contains(wanted) {
            2
        } else if about
            .iter()
            .any(|words| words.to_lowercase().contains(wanted))
        {
            3
        } else {
            continue;
        };
        let rank = rank * 2 + u8::from(fit.is_none());
        let mut small = fit.map_or_else(Vec::new, |fit| vec![fit]);
        small.extend(own.then(|| "own values".to_owned()));
        small.extend(about);
        let small = capital(&small.join(" · "));
        found.push((rank, Suggested { name, small }));
    }
    // Equals stay in the order of the table.
    found.sort_by_key(|(rank, _)| *rank);
    found.into_iter().map(|(_, suggested)| suggested).collect()
}
