//! Conversions between the units of the trade, against their definitions and printed factors.

use selion_core::quantities::{Area, Length, Mass, Rate, Units, Volume};

fn rate(text: &str) -> i64 {
    Rate::parse(text).unwrap().micrograms_per_m2()
}

/// Whether two rates differ by no more than a third.
fn close(one: &str, other: &str, tolerance: &str) -> bool {
    (rate(one) - rate(other)).abs() <= rate(tolerance)
}

#[test]
fn units_by_definition() {
    // International yard and pound agreement of 1959: 1 yd = 0.9144 m, 1 lb = 0.45359237 kg; a ton of 2000 lb.
    assert_eq!(Length::parse("10000 yd"), Length::parse("9144 m"));
    assert_eq!(Mass::parse("100000 lb"), Ok(Mass::from_grams(45_359_237)));
    assert_eq!(Mass::parse("100 tons"), Mass::parse("200000 lb"));
    // 1 acre = 43,560 sq ft; 1 ha = 10,000 m².
    assert_eq!(Area::parse("1 acre"), Area::parse("43,560 sq ft"));
    assert_eq!(Area::parse("1 ha"), Area::parse("10,000 m2"));
    // 1 cu yd = 27 cu ft, about 202 US gallons; the gallon is 231 cubic inches, four quarts.
    assert_eq!(Volume::parse("100 cu yd"), Volume::parse("2700 cu ft"));
    assert_eq!(Volume::parse("1000 gal"), Volume::parse("4000 qt"));
    let gallons = Volume::parse("1 cu yd").unwrap().ml() / Volume::parse("1 gal").unwrap().ml();
    assert_eq!(gallons, 201, "201.97 gallons, printed as 202");
}

#[test]
fn rates_between_field_and_garden() {
    // By definition: 2000 lb over 43.56 thousands of square feet.
    assert!(close(
        "1 ton/acre",
        "45.91 lb/1000 sq ft",
        "0.01 lb/1000 sq ft"
    ));
    assert!(close(
        "1 ton/acre",
        "4.591 lb/100 sq ft",
        "0.001 lb/100 sq ft"
    ));
    assert!(close("1 t/ha", "20.48 lb/1000 sq ft", "0.01 lb/1000 sq ft"));
    assert!(close("1 lb/1000 sq ft", "4.882 g/m2", "1 g/1000 m2"));
    assert!(close("1 oz/sq yd", "33.9 g/m2", "5 g/100 m2"));
    assert_eq!(rate("1 t/ha"), rate("100 g/m2"));
    // 90 and 40 lb an acre of seed.
    assert!(close(
        "90 lb/acre",
        "2.07 lb/1000 sq ft",
        "0.01 lb/1000 sq ft"
    ));
    assert!(close(
        "40 lb/acre",
        "0.92 lb/1000 sq ft",
        "0.01 lb/1000 sq ft"
    ));
}

#[test]
fn a_dose_for_one_bed() {
    // 85.3 lb per 1000 sq ft on a bed of 4 by 10 ft: 3.41 lb.
    let (wide, long) = (
        Length::parse("4 ft").unwrap(),
        Length::parse("10 ft").unwrap(),
    );
    let dose = Rate::parse("85.3 lb/1000 sq ft")
        .unwrap()
        .over(wide.checked_mul(long).unwrap());
    assert!(
        (dose.grams() - Mass::parse("3.41 lb").unwrap().grams()).abs() <= 2,
        "{dose:?}"
    );
    assert_eq!(dose.show(Units::UsCustomary), "3.4 lb");
}

/// What lies so deep on an area.
fn layer(area: &str, depth: &str) -> i64 {
    let (area, depth) = (Area::parse(area).unwrap(), Length::parse(depth).unwrap());
    // Square millimetres by millimetres are thousandths of millilitres.
    area.mm2() * depth.mm() / 1_000
}

#[test]
fn water_and_compost_on_beds() {
    // A tenth of an inch is 2.54 mm, so ten times the area: one inch on 100 sq ft is 62.34 gal (231 cubic inches a gallon).
    let inch_on_100 = layer("100 sq ft", "254 mm") / 10;
    assert!(
        (inch_on_100 - Volume::parse("62.34 gal").unwrap().ml()).abs()
            < Volume::parse("0.01 gal").unwrap().ml()
    );
    // One inch of compost from a cubic yard covers 324 sq ft.
    assert!(
        (layer("324 sq ft", "254 mm") / 10 - Volume::parse("1 cu yd").unwrap().ml()).abs() <= 1
    );
    // A millimetre of rain on a square metre is a litre.
    assert_eq!(layer("1 m2", "1 mm"), Volume::parse("1 l").unwrap().ml());
}
