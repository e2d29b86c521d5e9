//! Which year is looked at, whose beds, and which crop.

use std::collections::BTreeSet;

use selion_core::document::Garden;
use selion_core::document::ids::{BedId, MemberId};
use selion_core::document::records::Bed;
use selion_core::ordered;
use selion_core::quantities::Day;

/// Every bed.
pub const ALL: &str = "all";
/// The beds of whoever looks.
pub const MINE: &str = "mine";
/// The beds that nobody holds.
pub const COMMON: &str = "common";
/// Before the id of a member whose beds are shown.
const MEMBER: &str = "member:";
/// Before the id of the one bed that is shown.
const BED: &str = "bed:";

/// Whose beds are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Beds {
    /// Every bed.
    #[default]
    All,
    /// The common ones.
    Common,
    /// Those that somebody holds a part of.
    Of(MemberId),
    /// One.
    One(BedId),
}

/// What is shown of a year.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// Whose beds.
    pub beds: Beds,
    /// Only this crop.
    pub crop: Option<String>,
}

impl Choice {
    /// What was chosen by the keys of the fields; what cannot be read chooses everything.
    pub fn read(beds: &str, crop: &str, me: Option<MemberId>) -> Self {
        let member = beds.strip_prefix(MEMBER).and_then(|id| id.parse().ok());
        let bed = beds.strip_prefix(BED).and_then(|id| id.parse().ok());
        let beds = match (beds, member, bed) {
            (COMMON, ..) => Beds::Common,
            (MINE, ..) => me.map_or(Beds::All, Beds::Of),
            (_, Some(member), _) => Beds::Of(member),
            (_, _, Some(bed)) => Beds::One(bed),
            _else => Beds::All,
        };
        Self {
            beds,
            crop: (!crop.is_empty() && crop != ALL).then(|| crop.to_owned()),
        }
    }

    /// Whether a bed is shown.
    pub fn takes_bed(&self, id: BedId, bed: &Bed) -> bool {
        match self.beds {
            Beds::All => true,
            Beds::Common => bed.is_common(),
            Beds::Of(member) => bed.is_held_by(member),
            Beds::One(one) => one == id,
        }
    }

    /// Whether a crop is shown.
    pub fn takes_crop(&self, crop: &str) -> bool {
        self.crop.as_deref().is_none_or(|only| only == crop)
    }

    /// Whether all of the garden is shown.
    pub fn is_everything(&self) -> bool {
        *self == Self::default()
    }
}

/// The beds to choose from, with their keys: all, one's own, the common ones, somebody's, one.
pub fn bed_choices(garden: &Garden, me: Option<MemberId>) -> Vec<(String, String)> {
    let beds = garden.open_beds();
    let mut choices = vec![(ALL.to_owned(), "All beds".to_owned())];
    if me.is_some_and(|me| beds.iter().any(|(_, bed)| bed.is_held_by(me))) {
        choices.push((MINE.to_owned(), "My beds".to_owned()));
    }
    if beds.iter().any(|(_, bed)| bed.is_common()) {
        choices.push((COMMON.to_owned(), "Common beds".to_owned()));
    }
    let mut holders = BTreeSet::new();
    for (member, _) in beds.iter().flat_map(|(_, bed)| bed.held_by()) {
        if Some(member) != me {
            holders.insert(member);
        }
    }
    let mut people: Vec<(String, String)> = holders
        .into_iter()
        .map(|member| {
            let name = format!("Beds of {}", garden.name_of(member));
            (format!("{MEMBER}{member}"), name)
        })
        .collect();
    ordered::sort_by_key(&mut people, |(_, name)| name.to_lowercase());
    choices.append(&mut people);
    choices.extend(
        beds.iter()
            .map(|(id, bed)| (format!("{BED}{id}"), bed.label.clone())),
    );
    choices
}

/// The crops of a year to choose from, with their keys.
pub fn crop_choices(garden: &Garden, year: i16) -> Vec<(String, String)> {
    let mut crops = BTreeSet::new();
    for (_, season) in garden.seasons.range(year - 1..=year) {
        for planting in season.plantings.values() {
            if planting.ended_on.is_none() {
                crops.insert(planting.crop.clone());
            }
        }
    }
    let mut choices = vec![(ALL.to_owned(), "All crops".to_owned())];
    choices.extend(crops.into_iter().map(|crop| (crop.clone(), crop)));
    choices
}

/// The years that can be looked at, the latest first: those that the phone has, and this one.
pub fn years(garden: &Garden, today: Day) -> Vec<i16> {
    let mut years: BTreeSet<i16> = garden.seasons.keys().copied().collect();
    if let Some(profile) = &garden.profile {
        years.extend(profile.open_years());
    }
    years.insert(today.year());
    years.into_iter().rev().collect()
}

/// Whether a year can be written in.
pub fn is_open(garden: &Garden, year: i16) -> bool {
    garden
        .profile
        .as_ref()
        .is_some_and(|profile| profile.open_years().contains(&year))
}
