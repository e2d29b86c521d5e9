//! Plants in rows and beds, seed to buy and cover crops against published figures.
//!
//! Every check row of the trade notes is covered; P43 is from memory and stands in the test alone, never in the product.

use selion_core::geometry::{Direction, Outline, Point};
use selion_core::quantities::{Area, Length, Percent, Rate, RateUnit, SmallMass, Spacing, Units};
use selion_core::season::cover::nitrogen::{
    NitrogenCase, Plant, StandNitrogen, Used, nitrogen, usual_share,
};
use selion_core::season::crops::{CropBook, OwnCrop};
use selion_core::season::known::Span;
use selion_core::season::rows::{self, Ends, OutlineCase, Pattern, PlantsInOutline, RowCase};
use selion_core::season::seed::{self, RowSeedCase, StationsCase};

const US: Units = Units::UsCustomary;

fn spacing(text: &str) -> Spacing {
    text.parse().unwrap()
}

fn in_row(length: &str, apart: &str, ends: Ends) -> i64 {
    let case = RowCase {
        length: spacing(length),
        spacing: spacing(apart),
        ends,
        units: US,
    };
    rows::in_row(&case).unwrap().result.plants
}

#[test]
fn plants_in_a_row() {
    // P25, University of Maine: "6-7 plants" in 10 ft at 18 in.
    assert_eq!(in_row("120 in", "18 in", Ends::PlantsOnEnds), 7);
    assert_eq!(in_row("120 in", "18 in", Ends::HalfSpace), 6);
    // P26: Georgia's 100 cabbages and the Olds chart's 50 tomatoes on 100 ft; 1200/18 rounded down.
    let hundred_feet = |apart: &str| in_row("100 ft", apart, Ends::HalfSpace);
    assert_eq!(
        [
            hundred_feet("12 in"),
            hundred_feet("24 in"),
            hundred_feet("18 in")
        ],
        [100, 50, 66]
    );
}

#[test]
fn plants_that_tables_print_for_a_hundred_feet_follow_from_their_spacing() {
    let book = CropBook::with(&[]).unwrap();
    for name in [
        "cabbage",
        "broccoli",
        "cauliflower",
        "pepper",
        "eggplant",
        "sweet potato",
    ] {
        let crop = book.find(name).unwrap();
        let apart = crop.in_row.as_ref().unwrap().value.most.show(US);
        let printed = crop.seed.as_ref().unwrap().value.hundredths.most / 100;
        let counted = in_row("100 ft", &apart, Ends::HalfSpace);
        // Printed counts are rounded up, 66.7 to 67.
        assert!(
            (0..=1).contains(&(printed - counted)),
            "{name}: {printed}, {counted}"
        );
    }
}

/// A bed of so many inches with a margin all round.
fn bed(sides: (&str, &str), apart: &str, margin: &str, pattern: Pattern) -> PlantsInOutline {
    let (length, width): (Length, Length) = (sides.0.parse().unwrap(), sides.1.parse().unwrap());
    let case = OutlineCase {
        outline: Outline::rectangle(Point::from_mm(0, 0), length, width).unwrap(),
        along: Direction::East,
        pattern,
        spacing: spacing(apart),
        ends: Ends::Margin(spacing(margin)),
        side_margin: Some(spacing(margin)),
        units: US,
    };
    rows::in_outline(&case).unwrap().result
}

#[test]
fn square_and_offset_grids_row_by_row() {
    let eight_by_four = ("96 in", "48 in");
    // P28, P29: the offset grid holds fewer on a small bed.
    assert_eq!(
        bed(eight_by_four, "12 in", "6 in", Pattern::Square).plants,
        32
    );
    let offset = bed(eight_by_four, "12 in", "6 in", Pattern::Offset);
    let counts: Vec<i64> = offset.rows.iter().map(|row| row.plants).collect();
    assert_eq!((offset.plants, counts), (30, vec![8, 7, 8, 7]));
    // P31: 11 % more on a long bed of close plants.
    let long = ("240 in", "48 in");
    assert_eq!(bed(long, "6 in", "3 in", Pattern::Square).plants, 320);
    assert_eq!(bed(long, "6 in", "3 in", Pattern::Offset).plants, 356);
}

#[test]
fn the_gain_of_an_offset_grid_nears_its_limit_on_a_field() {
    // P32: 2/√3 = 1.1547 at the limit, and 12·√3/2 = 10.392 in from row to row.
    let field = ("800 m", "800 m");
    let square = bed(field, "30 cm", "15 cm", Pattern::Square).plants;
    let offset = bed(field, "30 cm", "15 cm", Pattern::Offset).plants;
    // In ten-thousandths: 1.1540.
    assert!(
        (offset * 10_000 / square - 11_547).abs() <= 10,
        "{offset} / {square}"
    );
    let case = OutlineCase {
        outline: Outline::rectangle(
            Point::from_mm(0, 0),
            Length::from_mm(3_000),
            Length::from_mm(3_000),
        )
        .unwrap(),
        along: Direction::East,
        pattern: Pattern::Offset,
        spacing: spacing("12 in"),
        ends: Ends::HalfSpace,
        side_margin: None,
        units: US,
    };
    let answer = rows::in_outline(&case).unwrap();
    assert!(
        answer.steps.iter().any(|step| step.value == "10.39 in"),
        "{answer}"
    );
}

#[test]
fn seed() {
    let book = CropBook::with(&[]).unwrap();
    // P34, Missouri's quarter ounce and the Olds chart's count: 5.2 seeds on an inch.
    let carrot = book.find("carrot").unwrap();
    let row = seed::for_rows(&RowSeedCase {
        length: spacing("100 ft"),
        on_100_ft: carrot.seed.clone().unwrap(),
        seeds_per_oz: carrot.seeds_per_oz.as_ref().map(|known| known.value),
        units: US,
    })
    .unwrap();
    assert_eq!(row.result.to_string(), "0.25 oz of seed");
    assert!(
        row.steps.iter().any(|step| step.value == "5.21 on an inch"),
        "{row}"
    );
    // P35, Olds chart: 300 seeds of 175 in an ounce. The row counts them as they are, without germination.
    let corn = book.find("corn, sweet").unwrap();
    let stations = seed::for_stations(&StationsCase {
        stations: 100,
        seeds_each: 3,
        germination: Percent::HUNDRED,
        field_factor: Percent::HUNDRED,
        past_keeping: false,
        seeds_per_oz: corn.seeds_per_oz.as_ref().map(|known| known.value),
        units: US,
    });
    assert_eq!(stations.unwrap().result.to_string(), "300 seeds, 1.71 oz");
}

#[test]
fn legal_minimum_of_germination_stands_in_the_table() {
    // 7 CFR 201.31 (59 FR 64491, 1994).
    let book = CropBook::with(&[]).unwrap();
    let printed = [
        ("bean, bush snap", 70),
        ("carrot", 55),
        ("pea, garden", 80),
        ("corn, sweet", 75),
        ("spinach", 60),
        ("okra", 50),
        ("pepper", 55),
        ("tomato", 75),
    ];
    for (name, percent) in printed {
        let known = book.find(name).unwrap().germination.clone().unwrap();
        assert_eq!(
            known.value,
            Percent::from_hundredths(percent * 100),
            "{name}"
        );
    }
    // The packet's own figure comes before it and is shown as own.
    let own = CropBook::with(&[OwnCrop::new("carrot", &[("germination", "88 %")])]).unwrap();
    let known = own.find("carrot").unwrap().germination.clone().unwrap();
    assert_eq!(
        (known.value.to_string(), known.origin.words()),
        ("88 %".into(), "own value".into())
    );
}

#[test]
fn rates_of_fields_and_gardens() {
    // P38; a Maine sheet rounds them to 2.0 and 1.0.
    let on_a_bed = |text: &str| {
        Rate::parse(text)
            .unwrap()
            .shown_in(RateUnit::PoundsPer1000SqFt, 2)
            .number
    };
    assert_eq!(
        [on_a_bed("90 lb/acre"), on_a_bed("40 lb/acre")],
        ["2.07", "0.92"]
    );
}

fn stand(dry: &str, cut: &str, share: &str) -> StandNitrogen {
    let case = NitrogenCase {
        dry: dry.parse().unwrap(),
        cut: cut.parse().unwrap(),
        share: Span::one(share.parse().unwrap()),
        used: Used::TurnedIn,
        units: US,
    };
    nitrogen(&case).unwrap().result
}

#[test]
fn biomass_and_nitrogen() {
    let on_an_acre =
        |rate: Rate, digits: u32| rate.shown_in(RateUnit::PoundsPerAcre, digits).number;
    // P40, P41, a North Carolina sheet: 130.5 there is half of the rounded 261; unrounded it is 130.7.
    let vetch = stand("1.2 lb", "8 sq ft", "4 %");
    assert_eq!(on_an_acre(vetch.dry_matter, 0), "6,534");
    assert_eq!(on_an_acre(vetch.nitrogen.most, 0), "261");
    assert_eq!(on_an_acre(vetch.available.most, 1), "130.7");
    // The same in the notes: 3.0 lb on 1000 sq ft.
    let on_a_bed = vetch
        .available
        .most
        .shown_in(RateUnit::PoundsPer1000SqFt, 1);
    assert_eq!(on_a_bed.to_string(), "3.0 lb/1000 sq ft");
    // P43, from memory; its arithmetic is exact.
    let second = stand("2.5 lb", "18 sq ft", "3.5 %");
    assert_eq!(on_an_acre(second.dry_matter, 0), "6,050");
    assert_eq!(on_an_acre(second.nitrogen.most, 0), "212");
    // P44: a page seen says 98, exact is 96.03.
    let gram = SmallMass::parse("1 g")
        .unwrap()
        .from_area(Area::parse("1 sq ft").unwrap());
    assert_eq!(on_an_acre(gram.unwrap(), 2), "96.03");
    // UC Santa Cruz: an annual legume at flowering holds 3 to 3.5 %.
    let flowering = usual_share(Plant::AnnualLegume, true);
    assert_eq!(flowering.show(|share| share.to_string()), "3 % to 3.5 %");
}
