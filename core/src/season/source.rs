//! Who printed the values of the season's tables: one list of keys, and the words for them.

use crate::reckoning::Source;

/// Every source of a table, by its key.
const SOURCES: &[(&str, &str)] = &[
    ("ALS", "Allied Seed, seed house"),
    ("BAI", "Bailey, seed house"),
    ("BBS", "BBB Seed, seed house"),
    ("BIO", "biotill.com, seed house"),
    ("BI", "Botanical Interests, last-sowing rule"),
    ("CFSA", "Carolina Farm Stewardship Association"),
    (
        "CLE",
        "Clemson Home & Garden Information Center, southern peas",
    ),
    ("COR", "covercrop.org, Cornell University"),
    (
        "CORNELL",
        "Cornell University, organic squash research blog, 27 August 2021",
    ),
    ("CP", "common practice"),
    ("FED", "Fedco Seeds, vegetable chart"),
    ("FSA", "US Federal Seed Act regulations, 7 CFR 201.31"),
    ("HMS", "High Mowing, seed house"),
    (
        "ISU",
        "Iowa State University Extension, vegetable harvest guide",
    ),
    ("KSU", "Kansas State University, MF315, yields"),
    ("LAJ", "E. Peffley, Lubbock Avalanche-Journal, 2020"),
    (
        "MU",
        "University of Missouri Extension, G6201, 2019 printing",
    ),
    (
        "MU-J",
        "University of Missouri Extension, vegetable calendar, earlier printing",
    ),
    ("NGN", "Nichols, seed house"),
    ("NMSU", "New Mexico State University Extension, 2008"),
    ("NPA", "newtonpa.com, seed table"),
    ("OLDS", "Olds Seed chart, reprinted by Huebner's"),
    (
        "OSU",
        "Oklahoma State University Extension, HLA-6004, as listed in April 2020",
    ),
    ("OWN", "worked out from the spacing: 1200 in divided by it"),
    ("PD", "P. Dawling, sustainablemarketfarming.com"),
    ("PFS", "Peak Forage, seed house"),
    ("PSU", "Penn State Extension, 2025"),
    ("PUR", "Purdue Extension, HO-203, frost resistance"),
    ("PVH", "Purdue Vegetable Crops Hotline"),
    ("REE", "walterreeves.com"),
    ("RUT", "Rutgers, Selecting Summer Cover Crops"),
    ("SARE-2", "SARE cover crop text, read at second hand"),
    (
        "SDSU",
        "South Dakota State University Extension, 23 June 2021",
    ),
    ("SES", "Southern Exposure, seed house"),
    ("SS", "Southern States, seed guide"),
    (
        "SVP",
        "planting spreadsheet, Sustainable Vegetable Production",
    ),
    (
        "TAMU",
        "Texas A&M, aggie-horticulture, soil temperatures for planting",
    ),
    (
        "UC",
        "University of California, GN 154, Master Gardener Handbook table 5.2",
    ),
    (
        "UC-N",
        "University of California, Napa Master Gardeners, summer harvest",
    ),
    (
        "UCSC",
        "UC Santa Cruz, Teaching Organic Farming & Gardening, unit 1.6",
    ),
    ("UDEL", "University of Delaware, Weekly Crop Update"),
    ("UGA", "University of Georgia Extension, C 963"),
    ("UGA-R", "University of Georgia, cereal rye page"),
    (
        "UMD",
        "University of Maryland Extension, cover crops, 2023 and Fact Sheet 6",
    ),
    ("UME", "University of Maine Extension, planting chart"),
    ("UME-C", "University of Maine Extension, cover crops"),
    (
        "UNH",
        "University of New Hampshire (Eaton, Hamilton); Kentucky from 7 days",
    ),
    ("UWR", "Wisconsin Extension, rye"),
    ("VCE", "Virginia Cooperative Extension, 426-334"),
    ("WG", "M. Free, War Gardens, 1918"),
];

/// Who printed it, for one key or several joined by `+`: `Purdue Extension, HO-203, frost resistance [PUR]`.
pub fn words(keys: &str) -> String {
    let words = |key: &str| match find(key) {
        Some(words) => format!("{words} [{key}]"),
        None => key.to_owned(),
    };
    keys.split('+').map(words).collect::<Vec<_>>().join("; ")
}

/// The source with these keys; common practice is one only where nobody printed it.
pub(crate) fn cite(keys: &str) -> Source {
    if keys == "CP" {
        Source::common_practice(words(keys))
    } else {
        Source::published(words(keys))
    }
}

/// Whether every one of these keys is on the list.
pub(super) fn all_known(keys: &str) -> bool {
    keys.split('+').all(|key| find(key).is_some())
}

fn find(key: &str) -> Option<&'static str> {
    SOURCES
        .iter()
        .find(|(known, _)| *known == key)
        .map(|(_, words)| *words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_sorted_out_into_words() {
        assert_eq!(
            words("KSU+UME"),
            "Kansas State University, MF315, yields [KSU]; University of Maine Extension, planting chart [UME]"
        );
        assert!(all_known("KSU+UME") && !all_known("KSU+") && !all_known("ABC"));
        let mut keys: Vec<&str> = SOURCES.iter().map(|(key, _)| *key).collect();
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), SOURCES.len(), "every key stands there once");
    }
}
