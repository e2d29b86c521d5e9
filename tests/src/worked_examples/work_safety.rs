//! Heat, lifting and soil that is dry enough to work against published figures.
//!
//! Not covered: the distance of lightning, S01, as the product says no more than *any thunder, go in*; pounds picked an hour, L01, and
//! hours of weeding, L03, as the product knows hours only from what people write down; W25 (Eq. 73) and W32, the upper tillage
//! limit, as the flag goes by the printed table; H02, H05, H08 and H11 are missing in the counting of the trade notes too.

use selion_core::quantities::{Depth, Length, Mass, Percent, Temperature, Units};
use selion_core::work::heat_index::feels;
use selion_core::work::lifting::{Grip, Lift, limit};
use selion_core::work::workable::{DryDay, TopLayer, flag};

/// How hot it feels, in tenths of a degree Fahrenheit.
fn feels_like(air: i64, humidity: i64) -> i64 {
    let air = Temperature::parse(&format!("{air} F")).unwrap();
    let humidity = Percent::parse(&format!("{humidity} %")).unwrap();
    let like = feels(air, humidity, Units::UsCustomary)
        .unwrap()
        .result
        .like;
    (like.millicelsius() * 18 + 500).div_euclid(1_000) + 320
}

#[test]
fn the_chart_of_the_weather_service() {
    // NWS chart (srh.noaa.gov/tsa heatindex), printed in whole degrees: the value in tenths is the equation's, recomputed.
    for (id, air, humidity, printed, exact) in [
        ("H01", 80, 40, 80, 796),
        ("H03", 90, 50, 95, 946),
        // Other charts of the service print 105 here.
        ("H04", 90, 70, 106, 1_059),
        ("H06", 88, 60, 95, 952),
        ("H07", 100, 55, 124, 1_236),
        ("H09", 110, 40, 136, 1_357),
    ] {
        let came = feels_like(air, humidity);
        assert!((came - exact).abs() <= 1, "{id}: {came}");
        assert!((came - printed * 10).abs() <= 5, "{id}: {came}");
    }
    // H10: the chart prints 87 without the adjustment for moist air; the equation with it gives 89.3.
    assert!((feels_like(80, 100) - 893).abs() <= 1);
    // H12: the simple form of the equation gives 69.05 (constructed).
    assert!((feels_like(70, 50) - 690).abs() <= 1);
}

#[test]
fn a_bag_from_the_ground() {
    // Constructed from NIOSH 94-110 (rev. 2021): H 15, V 6, D 30 in, A 0, poor grip: 22.1 lb; a 40 lb bag has an index of 1.8.
    let lift = Lift {
        load: Mass::parse("40 lb").unwrap(),
        away: Length::parse("15 in").unwrap(),
        height: Length::parse("6 in").unwrap(),
        way: Length::parse("30 in").unwrap(),
        turned: 0,
        grip: Grip::Poor,
    };
    let answer = limit(&lift, Units::UsCustomary).unwrap().result;
    assert_eq!(answer.most.show(Units::UsCustomary), "22.1 lb");
    assert_eq!(answer.load.grams() * 10 / answer.most.grams(), 18);
}

#[test]
fn the_top_of_a_loam_dries_as_in_example_31() {
    // W23: FAO-56 p. 146, TEW 20, REW 9, ET0 4.5 mm; printed to two digits by the end of each day.
    let printed = [
        4_730, 9_450, 13_980, 16_570, 18_040, 18_880, 19_360, 19_640, 19_790, 19_880,
    ];
    let day = DryDay {
        et0: Depth::parse("4.5 mm").unwrap(),
        rain: Depth::ZERO,
    };
    let layer = TopLayer {
        readily: Depth::parse("9 mm").unwrap(),
        in_all: Depth::parse("20 mm").unwrap(),
    };
    let gone = flag(layer, &[day; 10], Units::Metric).unwrap().result.gone;
    assert_eq!(gone.len(), printed.len());
    for (gone, printed) in gone.iter().zip(printed) {
        assert!(
            (gone.micrometres() - printed).abs() <= 20,
            "{gone:?} is not {printed}"
        );
    }
}
