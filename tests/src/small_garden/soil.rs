//! The soil of the small garden: a report sheet and manure that lies on a bed, and one edit of every variant about soil.

use selion_core::document::edit::ProfileField;
use selion_core::document::records::{
    AmendmentKind, Amount, GardenCompost, GardenLime, Nutrient, SoilSheet,
};
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::quantities::{
    Acidity, Density, Depth, Mass, Money, PartsPerMillion, Percent, Ph, Rate,
};
use selion_core::soil::compost::ceiling::Origin;
use selion_core::soil::lime::LimeBasis;
use selion_core::soil::liming_material::{ProductKind, Scheme};
use selion_core::soil::test_report::{AcidityReading, Ground, Level, Recommendation, Texture};

use super::{GROUND, SEASON, SmallGarden, day, ids, ines};

impl SmallGarden {
    /// Ines entered a sheet for the common bed (test 1) and spread raw manure there (amendment 1), which is not dug in yet.
    pub(super) fn soil(&mut self) {
        let mut sheet = SoilSheet::taken(day("2026-02-14"), [ids::bed(3)]);
        sheet.ph = Some(Ph::from_hundredths(560));
        sheet.texture = Some(Texture::Loam);
        let test = ids::soil_test(1);
        self.does(ines(), GROUND, Edit::AddSoilTest { test, sheet });
        self.does(
            ines(),
            SEASON,
            Edit::LogAmendment {
                amendment: ids::amendment(1),
                bed: ids::bed(3),
                day: day("2026-03-02"),
                what: AmendmentKind::RawManure,
                amount: None,
                dug_in_on: None,
                word: "From the stable".to_owned(),
            },
        );
    }
}

/// Every variant about soil, with the document it belongs into.
pub(super) fn of_soil() -> Vec<(DocumentName, Edit)> {
    let mut all = of_the_ground();
    all.extend(of_the_season().into_iter().map(|edit| (SEASON, edit)));
    all
}

fn of_the_ground() -> Vec<(DocumentName, Edit)> {
    let set = vec![
        ProfileField::Lime(Some(GardenLime {
            name: "Ground limestone, hill quarry".to_owned(),
            kind: ProductKind::Ground,
            cce: Some(Percent::from_hundredths(9_200)),
            scheme: Some(Scheme::OregonLimeScore),
            effective: Some(Percent::from_hundredths(8_700)),
            equals_standard_ton: Some(Mass::from_grams(950_000)),
            bag: Some(Mass::from_grams(22_680)),
            bag_price: Some(Money::from_minor(699)),
        })),
        ProfileField::Compost(Some(GardenCompost {
            origin: Origin::Plants,
            density: Some(Density::from_grams_per_m3(600_000)),
            phosphate: Some(Percent::from_hundredths(19)),
        })),
    ];
    let edits = [
        Edit::ChangeProfile { set },
        Edit::AddSoilTest {
            test: ids::soil_test(9),
            sheet: full_sheet(),
        },
        Edit::AddSoilTest {
            test: ids::soil_test(10),
            sheet: recommending_sheet(),
        },
        Edit::StrikeSoilTest {
            test: ids::soil_test(1),
            on: day("2026-03-01"),
        },
    ];
    edits.into_iter().map(|edit| (GROUND, edit)).collect()
}

fn full_sheet() -> SoilSheet {
    let nutrient = |ppm: i64, level| Nutrient {
        amount: Some(PartsPerMillion::from_hundredths(ppm * 100)),
        level: Some(level),
    };
    SoilSheet {
        laboratory: "State laboratory, sheet 4711".to_owned(),
        ph: Some(Ph::from_hundredths(520)),
        acidity: Some(AcidityReading::MehlichAcidityNc(Acidity::from_hundredths(
            200,
        ))),
        texture: Some(Texture::Sand),
        ground: Ground::Mineral,
        organic_matter: Some(Percent::from_hundredths(340)),
        phosphorus: nutrient(18, Level::Low),
        potassium: nutrient(120, Level::Optimum),
        calcium: nutrient(900, Level::AboveOptimum),
        magnesium: nutrient(260, Level::VeryHigh),
        extraction: "Mehlich-3".to_owned(),
        phosphate_needed: Some(Rate::from_micrograms_per_m2(4_882_428)),
        word: "Twelve cores".to_owned(),
        ..SoilSheet::taken(day("2026-02-20"), [ids::bed(1), ids::bed(2)])
    }
}

fn recommending_sheet() -> SoilSheet {
    SoilSheet {
        ph: Some(Ph::from_hundredths(580)),
        ground: Ground::CompostFilled,
        recommendation: Some(Recommendation {
            rate: Rate::from_micrograms_per_m2(366_182_073),
            basis: LimeBasis::Effective {
                scheme: Scheme::Enp,
                value: Percent::HUNDRED,
            },
            target: Ph::from_hundredths(650),
            depth: Some(Depth::from_micrometres(152_400)),
        }),
        ..SoilSheet::taken(day("2026-02-21"), [ids::bed(3)])
    }
}

fn of_the_season() -> Vec<Edit> {
    vec![
        Edit::SetBedCrops {
            bed: ids::bed(1),
            now: Map::from([("brassicas".to_owned(), true)]),
            next_year: Map::from([("potato".to_owned(), true)]),
        },
        Edit::LogAmendment {
            amendment: ids::amendment(9),
            bed: ids::bed(1),
            day: day("2026-03-14"),
            what: AmendmentKind::Lime,
            amount: Some(Amount::Mass(Mass::from_grams(1_300))),
            dug_in_on: Some(day("2026-03-15")),
            word: "Calm and damp".to_owned(),
        },
        Edit::DigIn {
            amendment: ids::amendment(1),
            on: day("2026-03-04"),
        },
        Edit::StrikeAmendment {
            amendment: ids::amendment(1),
            on: day("2026-03-05"),
        },
    ]
}
