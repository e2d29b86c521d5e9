//! The form of the garden's profile.

use selion_core::document::edit::ProfileField;
use selion_core::document::records::Profile;
use selion_core::ordered::Map;
use selion_core::quantities::{BadInput, Currency, Units};

use super::wording::capital;

/// A field of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is described where the profile is")]
pub enum ProfileBox {
    Name,
    Currency,
    TimeZone,
    North,
}

/// What stands in the form, as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[expect(missing_docs, reason = "each is described where the profile is")]
pub struct ProfileTyped {
    pub name: String,
    pub units: Units,
    pub currency: String,
    pub time_zone: String,
    pub north: String,
}

impl ProfileTyped {
    /// The form as it stands.
    pub fn of(profile: &Profile) -> Self {
        Self {
            name: profile.name.clone(),
            units: profile.units,
            currency: profile.currency.code().to_owned(),
            time_zone: profile.time_zone.clone(),
            north: profile.north_degrees.to_string(),
        }
    }

    /// What has to be set. `is_zone` knows the places on the clock.
    pub fn changes(
        &self,
        before: &Profile,
        is_zone: impl Fn(&str) -> bool,
    ) -> Result<Vec<ProfileField>, Map<ProfileBox, String>> {
        let mut wrong = Map::new();
        let mut refuse = |of, bad: &BadInput| {
            wrong.insert(of, capital(&bad.to_string()));
        };
        let name = self.name.trim().to_owned();
        if name.is_empty() {
            refuse(
                ProfileBox::Name,
                &BadInput::new("name", "what people call the garden", ""),
            );
        }
        let currency = Currency::new(&self.currency.trim().to_uppercase())
            .map_err(|bad| refuse(ProfileBox::Currency, &bad));
        let zone = self.time_zone.trim().to_owned();
        if !is_zone(&zone) {
            let expected = "a place on the clock such as Europe/Lisbon";
            refuse(
                ProfileBox::TimeZone,
                &BadInput::new("place on the clock", expected, &zone),
            );
        }
        let north = self.north.trim().trim_end_matches('°').parse::<i64>();
        let north = north
            .ok()
            .filter(|degrees| (0..360).contains(degrees))
            .ok_or_else(|| {
                let expected = "whole degrees from 0 to 359";
                refuse(
                    ProfileBox::North,
                    &BadInput::new("north", expected, &self.north),
                );
            });
        let (Ok(currency), Ok(north), true) = (currency, north, wrong.is_empty()) else {
            return Err(wrong);
        };
        Ok([
            (name != before.name).then_some(ProfileField::Name(name)),
            (self.units != before.units).then_some(ProfileField::Units(self.units)),
            (currency != before.currency).then_some(ProfileField::Currency(currency)),
            (zone != before.time_zone).then_some(ProfileField::TimeZone(zone)),
            (north != before.north_degrees).then_some(ProfileField::NorthDegrees(north)),
        ]
        .into_iter()
        .flatten()
        .collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::garden;

    fn is_zone(zone: &str) -> bool {
        zone.contains('/') || zone == "UTC"
    }

    #[test]
    fn what_was_left_alone_is_not_set() {
        let profile = garden().profile.unwrap();
        let typed = ProfileTyped::of(&profile);
        assert_eq!(typed.changes(&profile, is_zone), Ok(Vec::new()));
        let typed = ProfileTyped {
            north: "12°".into(),
            time_zone: " Europe/Lisbon ".into(),
            ..typed
        };
        let expected = vec![
            ProfileField::TimeZone("Europe/Lisbon".into()),
            ProfileField::NorthDegrees(12),
        ];
        assert_eq!(typed.changes(&profile, is_zone), Ok(expected));
    }

    #[test]
    fn every_wrong_field_says_so_at_once() {
        let profile = garden().profile.unwrap();
        let typed = ProfileTyped {
            name: " ".into(),
            units: Units::Metric,
            currency: "shells".into(),
            time_zone: "here".into(),
            north: "360".into(),
        };
        let wrong = typed.changes(&profile, is_zone).unwrap_err();
        let fields: Vec<ProfileBox> = wrong.keys().copied().collect();
        let all = [
            ProfileBox::Name,
            ProfileBox::Currency,
            ProfileBox::TimeZone,
            ProfileBox::North,
        ];
        assert_eq!(fields, all);
    }
}
