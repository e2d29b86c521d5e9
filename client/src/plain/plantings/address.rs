//! The address of the form for a new planting, and what it begins with.

use selion_core::document::ids::BedId;
use selion_core::quantities::Day;

use crate::plain::typed::escaped;

/// What the form for a new planting begins with.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Begun {
    /// A crop, by its name.
    pub crop: String,
    /// Whether it is a cover crop.
    pub cover: bool,
    /// The day to sow it on.
    pub from: Option<Day>,
    /// The last day that it may stand, such as the end of a gap; a cover crop is ended on it.
    pub until: Option<Day>,
}

/// The address of the form for a new planting in a bed; what is not said is left to be filled in.
pub fn plant_address(bed: BedId, begun: &Begun) -> String {
    let day = |day: Option<Day>| day.map(|day| day.to_string()).unwrap_or_default();
    let cover = if begun.cover { "yes" } else { "" };
    let values = [
        ("crop", escaped(begun.crop.trim())),
        ("cover", cover.to_owned()),
        ("from", day(begun.from)),
        ("until", day(begun.until)),
    ];
    let mut address = format!("/bed/{bed}/plant");
    let mut mark = '?';
    for (name, value) in values {
        if !value.is_empty() {
            address.push(mark);
            address.push_str(name);
            address.push('=');
            address.push_str(&value);
            mark = '&';
        }
    }
    address
}

/// What an address begins the form with; `get` gives what stands behind a name in it. What cannot be read is left out.
pub fn from_address(get: impl Fn(&str) -> Option<String>) -> Begun {
    let day = |name: &str| get(name).and_then(|text| Day::parse(&text).ok());
    Begun {
        crop: get("crop").unwrap_or_default().trim().to_owned(),
        cover: get("cover").is_some_and(|cover| cover == "yes"),
        from: day("from"),
        until: day("until"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plain::sample::{bed, day};

    #[test]
    fn a_gap_travels_to_the_form_in_the_address() {
        let begun = Begun {
            crop: "bean, bush snap".into(),
            cover: false,
            from: Some(day("2027-07-20")),
            until: Some(day("2027-10-03")),
        };
        let address = plant_address(bed(1), &begun);
        let expected = format!(
            "/bed/{}/plant?crop=bean%2C%20bush%20snap&from=2027-07-20&until=2027-10-03",
            bed(1)
        );
        assert_eq!(address, expected);
        let get = |name: &str| {
            let (_, query) = address.split_once('?')?;
            let mut pairs = query.split('&').filter_map(|pair| pair.split_once('='));
            let found = pairs.find(|(key, _)| *key == name)?;
            Some(found.1.replace("%2C", ",").replace("%20", " "))
        };
        assert_eq!(from_address(get), begun);
    }

    #[test]
    fn an_address_without_anything_begins_an_empty_form() {
        let address = plant_address(bed(1), &Begun::default());
        assert_eq!(address, format!("/bed/{}/plant", bed(1)));
        let wrong = |name: &str| (name == "from").then(|| "soon".to_owned());
        assert_eq!(from_address(wrong), Begun::default());
    }
}
