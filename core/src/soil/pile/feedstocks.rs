//! Printed values of common materials for the pile, as ranges.
//!
//! Rows are from one printed table (S6) unless noted; materials known from memory alone (vegetable waste with its moisture, hen
//! manure without litter) are left out. Nitrogen and C:N run against each other: the end of the range that is rich in
//! nitrogen is the one with the low ratio. So each row has two ends, *lean* and *rich*, and whoever has no analysis gets the
//! middle of them as an estimate, with the range that both ends and both moistures give.

use super::Makeup;
use crate::quantities::{CarbonToNitrogen, Percent};
use crate::reckoning::Refusal;

/// A material of the printed tables.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Feedstock {
    /// What it is called.
    pub name: &'static str,
    /// Nitrogen of the dry part, low and high, in hundredths of a percent.
    nitrogen: (i64, i64),
    /// Carbon to nitrogen, low and high, in whole parts.
    ratio: (i64, i64),
    /// Moisture as is, low and high, in whole percent.
    moisture: (i64, i64),
    /// Who printed it.
    pub source: &'static str,
}

const fn row(
    name: &'static str,
    nitrogen: (i64, i64),
    ratio: (i64, i64),
    moisture: (i64, i64),
    source: &'static str,
) -> Feedstock {
    Feedstock {
        name,
        nitrogen,
        ratio,
        moisture,
        source,
    }
}

/// Every printed material.
///
/// The printed range of sawdust in S6 (0.06 to 0.8 % nitrogen, 200 to 750) contains more carbon than there is sawdust, so the
/// older set S28 stands for it.
pub const FEEDSTOCKS: [Feedstock; 16] = [
    row("dairy manure, solid", (170, 170), (18, 18), (79, 79), "S6"),
    row(
        "horse manure with bedding",
        (140, 230),
        (22, 50),
        (59, 79),
        "S6",
    ),
    row(
        "horse manure with straw",
        (150, 150),
        (27, 27),
        (67, 67),
        "S6",
    ),
    row(
        "horse manure with shavings",
        (90, 90),
        (65, 65),
        (72, 72),
        "S6",
    ),
    row(
        "layer manure with litter",
        (360, 360),
        (10, 10),
        (46, 46),
        "S6",
    ),
    row("broiler litter", (470, 470), (15, 15), (25, 25), "S6"),
    row("sheep manure", (130, 310), (13, 20), (60, 75), "S6"),
    row("straw", (30, 110), (48, 150), (4, 27), "S6"),
    row("wheat straw", (30, 50), (100, 150), (10, 10), "S6"),
    row("oat straw", (60, 110), (48, 98), (14, 14), "S6"),
    row("legume hay", (180, 360), (15, 19), (10, 30), "S6"),
    row(
        "leaves",
        (50, 130),
        (40, 80),
        (38, 40),
        "S6; moisture also S27",
    ),
    row(
        "grass clippings",
        (300, 600),
        (12, 15),
        (80, 80),
        "S28; moisture S27",
    ),
    row(
        "sawdust",
        (10, 10),
        (200, 500),
        (19, 65),
        "S28; moisture S6",
    ),
    row("wood chips", (4, 23), (212, 1_313), (15, 40), "S6"),
    row("cardboard", (10, 10), (563, 563), (8, 8), "S6"),
];

/// The material of this name.
pub fn feedstock(name: &str) -> Result<&'static Feedstock, Refusal> {
    FEEDSTOCKS
        .iter()
        .find(|feedstock| feedstock.name == name.trim())
        .ok_or_else(|| {
            let names: Vec<&str> = FEEDSTOCKS.iter().map(|feedstock| feedstock.name).collect();
            let expected = format!("an analysis, or one of {}", names.join("; "));
            Refusal::bad("material", expected, name)
        })
}

impl Feedstock {
    /// Halfway between its ends.
    pub fn middle(&self) -> Makeup {
        self.lean().halfway(self.rich())
    }

    /// Both ends at both moistures.
    pub(super) fn corners(&self) -> [Makeup; 4] {
        let (dry, wet) = (percent(self.moisture.0), percent(self.moisture.1));
        let (lean, rich) = (self.lean(), self.rich());
        [
            lean.at_moisture(dry),
            lean.at_moisture(wet),
            rich.at_moisture(dry),
            rich.at_moisture(wet),
        ]
    }

    /// The least nitrogen, with the high ratio and the low moisture.
    fn lean(&self) -> Makeup {
        end(self.nitrogen.0, self.ratio.1, self.moisture.0)
    }

    /// The most nitrogen, with the low ratio and the high moisture.
    fn rich(&self) -> Makeup {
        end(self.nitrogen.1, self.ratio.0, self.moisture.1)
    }
}

/// One end of a row. Rows whose carbon does not fit are found by the test below, not by a gardener.
fn end(nitrogen: i64, ratio: i64, moisture: i64) -> Makeup {
    let ratio = CarbonToNitrogen::from_hundredths(ratio * 100);
    Makeup::by_ratio(percent(moisture), Percent::from_hundredths(nitrogen), ratio)
        .unwrap_or(Makeup::WATER)
}

fn percent(whole: i64) -> Percent {
    Percent::from_hundredths(whole * 100)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_fits_into_its_own_weight_and_its_middle_lies_inside() {
        for feedstock in &FEEDSTOCKS {
            let ratio = |makeup: Makeup| makeup.ratio().unwrap();
            assert_ne!(feedstock.lean(), Makeup::WATER, "{}", feedstock.name);
            assert_ne!(feedstock.rich(), Makeup::WATER, "{}", feedstock.name);
            let (low, high) = (ratio(feedstock.rich()), ratio(feedstock.lean()));
            assert!(
                (low..=high).contains(&ratio(feedstock.middle())),
                "{}",
                feedstock.name
            );
            assert!(feedstock.corners().contains(&feedstock.lean()));
        }
    }

    #[test]
    fn an_unknown_material_is_answered_with_the_list() {
        let refusal = feedstock("seaweed").unwrap_err().to_string();
        assert!(
            refusal.contains("dairy manure, solid; horse manure with bedding"),
            "{refusal}"
        );
    }
}
