//! Sun, reference water, crop water, root zones and water for beds against published figures.
//!
//! Page and example numbers are of FAO-56 (Allen, Pereira, Raes, Smith 1998). Day length is held against an astronomy package as well,
//! Penman-Monteith against another package in the sibling `evapotranspiration`. A corrected print of Examples 35 and 38 exists and
//! was not seen.
//!
//! The drying of the top layer is in the sibling `work_safety`. Not covered: rain that counts in a month; W03, W06,
//! W09, W12, W15, W18, W21, W24, W27 and W30 are missing in the counting of the trade notes too.

use selion_core::quantities::{
    Area, Depth, Latitude, Length, Minutes, Percent, Pressure, Radiation, Temperature, Units,
    Volume,
};
use selion_core::work::water::balance::{Balance, BalanceCase, BalanceDay, Order, keep};
use selion_core::work::water::beds::{WeekCase, need};
use selion_core::work::water::crops::{Kc, find, on_day};
use selion_core::work::water::evaporation::{
    DayAir, Humidity, Sun, Weather, hargreaves, penman_monteith,
};
use selion_core::work::water::root_zone::{Holding, RootZone, adjusted, refill};
use selion_core::work::water::sun::{SunOfDay, of_day};
use solar_positioning::{Horizon, Location, SolarEvents};

const METRIC: Units = Units::Metric;

fn sun(day: i64, latitude: &str) -> SunOfDay {
    of_day(day, Latitude::parse(latitude).unwrap())
        .unwrap()
        .result
}

fn close(came: i64, printed: i64, within: i64) {
    assert!((came - printed).abs() <= within, "{came} is not {printed}");
}

fn mm(text: &str) -> Depth {
    Depth::parse(&format!("{text} mm")).unwrap()
}

fn air(high: &str, low: &str) -> DayAir {
    let degrees = |text: &str| Temperature::parse(&format!("{text} C")).unwrap();
    DayAir {
        high: degrees(high),
        low: degrees(low),
    }
}

#[test]
fn w01_w02_sun_of_a_september_day() {
    // Ex. 8, p. 47: 20° S, 3 September, day 246: Ra 32.2; dr 0.985, δ 0.120, ωs 1.527. Ex. 9, p. 49: 11.7 h.
    let sun = sun(246, "20 S");
    close(sun.above_the_air.joules(), 32_200_000, 100_000);
    close(sun.distance_millionths, 985_000, 1_000);
    close(sun.declination_microradians, 120_000, 1_000);
    close(sun.sunset_microradians, 1_527_000, 1_000);
    close(sun.daylight.get(), 702, 3);
}

#[test]
fn w04_w05_sun_of_the_weather_examples() {
    // Ex. 18, p. 72: day 187 at 50.80° N: 41.09 MJ/m², 16.1 h (n/N is shown with 16.3 there, a slip).
    let brussels = sun(187, "50.8 N");
    close(brussels.above_the_air.joules(), 41_090_000, 20_000);
    close(brussels.daylight.get(), 966, 6);
    // Ex. 17, p. 70: day 105 at 13.73° N: 38.06 MJ/m², 12.31 h; daylight is kept in whole minutes.
    let bangkok = sun(105, "13.73 N");
    close(bangkok.above_the_air.joules(), 38_060_000, 20_000);
    close(bangkok.daylight.get(), 739, 1);
    // Ex. 20, p. 77: July (day 196) at 45.72° N: 40.55 MJ/m².
    let lyon = sun(196, "45.72 N");
    close(lyon.above_the_air.joules(), 40_550_000, 20_000);
}

#[test]
fn w07_w08_hargreaves() {
    let lost = |air, radiation: &str| {
        let answer = hargreaves(air, Radiation::parse(radiation).unwrap(), METRIC).unwrap();
        answer.result.per_day.micrometres()
    };
    // Ex. 20: printed 5.0, recomputed 5.03.
    close(lost(air("26.6", "14.8"), "40.55 MJ/m2"), 5_030, 20);
    // NCAR's NCL manual: 5.20.
    close(lost(air("34.8", "25.6"), "38.06 MJ/m2"), 5_200, 20);
}

#[test]
fn w10_w11_penman_monteith() {
    let lost = |weather: &Weather| {
        penman_monteith(weather)
            .unwrap()
            .result
            .per_day
            .micrometres()
    };
    // Ex. 17, Bangkok in April: 5.72 mm; the month's ground heat is 0.14 MJ/m².
    let bangkok = Weather {
        day: 105,
        latitude: Latitude::parse("13.73 N").unwrap(),
        elevation: Length::parse("2 m").unwrap(),
        air: air("34.8", "25.6"),
        humidity: Humidity::Vapour(Pressure::parse("2.85 kPa").unwrap()),
        wind: Some(("2 m/s".parse().unwrap(), Length::parse("2 m").unwrap())),
        sun: Sun::Hours(Minutes::parse("8 h 30 min").unwrap()),
        ground_heat: Radiation::parse("0.14 MJ/m2").unwrap(),
        units: METRIC,
    };
    close(lost(&bangkok), 5_720, 30);
    // Ex. 18, Brussels on 6 July: 3.88, printed 3.9. es is shown without its halving there; the result is right.
    let brussels = Weather {
        day: 187,
        latitude: Latitude::parse("50.8 N").unwrap(),
        elevation: Length::parse("100 m").unwrap(),
        air: air("21.5", "12.3"),
        humidity: Humidity::Relative {
            high: Percent::parse("84 %").unwrap(),
            low: Percent::parse("63 %").unwrap(),
        },
        wind: Some(("10 km/h".parse().unwrap(), Length::parse("10 m").unwrap())),
        sun: Sun::Hours(Minutes::parse("9 h 15 min").unwrap()),
        ground_heat: Radiation::ZERO,
        units: METRIC,
    };
    close(lost(&brussels), 3_880, 20);
    // Ex. 20, Lyon in July from temperatures alone: 4.56; with wind of 1 or 3 m/s 4.2 or 4.8.
    let mut lyon = Weather {
        day: 196,
        latitude: Latitude::parse("45.72 N").unwrap(),
        elevation: Length::parse("200 m").unwrap(),
        air: air("26.6", "14.8"),
        humidity: Humidity::DewAtTheLow,
        wind: None,
        sun: Sun::FromTemperatures,
        ground_heat: Radiation::ZERO,
        units: METRIC,
    };
    close(lost(&lyon), 4_560, 50);
    for (wind, printed) in [("1 m/s", 4_200), ("3 m/s", 4_800)] {
        lyon.wind = Some((wind.parse().unwrap(), Length::parse("2 m").unwrap()));
        close(lost(&lyon), printed, 70);
    }
}

#[test]
fn coefficients_of_dry_beans() {
    // Ex. 30, p. 141: 25/25/30/20 days, 0.15/1.14/0.25.
    let kc = [150, 1_140, 250].map(Kc::from_thousandths);
    let bean = find("bean, dry").unwrap();
    for (day, printed) in [(12, 150), (37, 630), (65, 1_140), (90, 700)] {
        let answer = on_day(bean, Some([25, 25, 30, 20]), Some(kc), day).unwrap();
        close(answer.result.thousandths(), printed, 5);
    }
}

fn zone(capacity: i64, wilting: i64, centimetres: i64, easy: i64) -> RootZone {
    RootZone {
        holding: Holding::Own {
            capacity: Percent::from_hundredths(capacity * 100),
            wilting: Percent::from_hundredths(wilting * 100),
        },
        roots: Depth::from_micrometres(centimetres * 10_000),
        easy: Percent::from_hundredths(easy * 100),
    }
}

#[test]
fn w13_w14_w22_what_roots_can_take() {
    // Ex. 36, p. 166: loamy sand 0.15/0.06, silt 0.32/0.15, silty clay 0.35/0.23.
    let soils = [(15, 6), (32, 15), (35, 23)];
    let crops = [
        (40, 30, [(36, 11), (68, 20), (48, 14)]),
        (80, 40, [(72, 29), (136, 54), (96, 38)]),
        (120, 55, [(108, 59), (204, 112), (144, 79)]),
    ];
    for (roots, easy, printed) in crops {
        for ((capacity, wilting), (all, easily)) in soils.into_iter().zip(printed) {
            let zone = zone(capacity, wilting, roots, easy);
            close(zone.all().unwrap().micrometres(), all * 1_000, 500);
            close(zone.easily().unwrap().micrometres(), easily * 1_000, 500);
        }
    }
    // Ex. 38: RAW 23 on the first day and 27 on the tenth (23.4 and 27.3).
    for (roots, printed) in [(30, 23_400), (35, 27_300)] {
        assert_eq!(
            zone(23, 10, roots, 60).easily().unwrap().micrometres(),
            printed
        );
    }
}

#[test]
fn w26_the_constructed_garden() {
    // p. 162, constructed: p 0.40 at 5.75 mm is 0.37; loam 0.25/0.12, 0.7 m: 91.0, 36.4 and 33.7 mm, 5.9 dry days.
    let easy = Percent::from_hundredths(4_000);
    assert_eq!(adjusted(easy, mm("5.75")).hundredths(), 3_700);
    let tomato = zone(25, 12, 70, 40);
    let answer = refill(&tomato, Some(mm("5.75")), METRIC).unwrap().result;
    assert_eq!(answer.all, mm("91"));
    assert_eq!(tomato.easily().unwrap(), mm("36.4"));
    close(answer.easily.micrometres(), 33_700, 50);
    assert_eq!(answer.tenths_of_days, Some(59));
}

fn account(all: &str, easily: &str, gone: &str, order: Order, days: Vec<BalanceDay>) -> Balance {
    let case = BalanceCase {
        all: mm(all),
        easily: mm(easily),
        gone: mm(gone),
        order,
        days,
        units: METRIC,
    };
    keep(&case).unwrap().result
}

fn dry(drinks: &str) -> BalanceDay {
    BalanceDay {
        drinks: mm(drinks),
        rain: Depth::ZERO,
        watering: Depth::ZERO,
    }
}

#[test]
fn w16_w17_ten_dry_days_of_tomato() {
    // Ex. 37, p. 168: silt, TAW 160, RAW 64, ET0 5, Kc 1.2, 55 mm gone at the start. Ks is of the start of the day, and p is not
    // adjusted. The book rounds each line; day by day within a tenth.
    let days = vec![dry("6"); 10];
    let printed_ks = [100, 100, 97, 91, 85, 80, 75, 70, 66, 62];
    let printed_end = [610, 670, 728, 783, 834, 882, 926, 969, 1_008, 1_045];
    for order in [Order::WaterFirst, Order::WaterLast] {
        let kept = account("160", "64", "55", order, days.clone());
        let printed = printed_ks.into_iter().zip(printed_end);
        for (day, (ks, end)) in kept.days.iter().zip(printed) {
            close(day.ks_millionths, ks * 10_000, 5_500);
            close(day.gone.micrometres(), end * 100, 100);
        }
        assert_eq!(kept.water_on, Some(2));
    }
}

#[test]
fn w19_w20_the_order_of_events() {
    let day = BalanceDay {
        watering: mm("40"),
        ..dry("5.5")
    };
    // Ex. 38 takes water first: DP 17, 5.5 gone. Eq. 88 as printed: DP 11.5, nothing gone.
    for (order, drained, gone) in [
        (Order::WaterFirst, "17", "5.5"),
        (Order::WaterLast, "11.5", "0"),
    ] {
        let kept = account("39", "23.4", "23", order, vec![day]).days[0];
        assert_eq!((kept.drained, kept.gone), (mm(drained), mm(gone)));
    }
}

#[test]
fn ten_days_with_rain_and_two_waterings() {
    // Ex. 38, p. 172, water first, from the printed ETc. What roots can take grows from 39 to 45.5 mm; RAW is put high, as the
    // printed ETc holds any stress already. Printed in whole millimetres.
    let drinks = [
        "5.5", "6.1", "4.0", "2.9", "2.5", "2.7", "4.7", "2.8", "2.2", "6.3",
    ];
    let mut days: Vec<BalanceDay> = drinks.into_iter().map(dry).collect();
    days[0].watering = mm("40");
    days[5].rain = mm("6");
    days[9].watering = mm("27");
    let kept = account("45.5", "45.4", "23", Order::WaterFirst, days);
    let printed = [5, 12, 16, 18, 21, 18, 22, 25, 27, 6];
    for (day, end) in kept.days.iter().zip(printed) {
        close(day.gone.micrometres(), end * 1_000, 1_000);
    }
}

#[test]
fn w28_w29_w31_gallons_of_an_inch() {
    let water = |feet: &str| {
        let case = WeekCase {
            area: Area::parse(&format!("{feet} sq ft")).unwrap(),
            a_week: None,
            rains: vec![],
            holds: None,
            units: Units::UsCustomary,
        };
        need(&case).unwrap().result.water.ml()
    };
    let gallons = |text: &str| Volume::parse(&format!("{text} gal")).unwrap().ml();
    // By definition: 231 cubic inches to a gallon.
    close(water("100"), gallons("62.34"), gallons("0.01"));
    close(water("1000"), gallons("623.4"), gallons("0.1"));
    close(water("50"), gallons("31.17"), gallons("0.01"));
    close(water("200"), gallons("124.68"), gallons("0.01"));
    // perfect-vegetable-garden.com: about 218 gal on 350 sq ft.
    close(water("350"), gallons("218"), gallons("0.5"));
    // L. Reich, AP 2021: 90 gal on 150 sq ft is the rule of 0.6; exactly 93.5. Grovida prints about 225 for 375 sq ft, 233.8.
    close(water("150"), gallons("93.5"), gallons("0.05"));
    close(water("375"), gallons("233.8"), gallons("0.05"));
    // AP 2021: about five quarts on two square feet, 4.99; reprints with gallons are wrong by four.
    close(water("2"), Volume::parse("4.99 qt").unwrap().ml(), 20);
}

/// 2027-01-01, 00:00 UT.
const JULIAN_2027: f64 = 2_461_406.5;

#[test]
fn days_are_as_long_as_an_astronomy_package_says() {
    // The package's SPA (Reda and Andreas 2003) is right to seconds. FAO-56 takes the declination from one sine, which crosses
    // the equator on 20 September, three days early: a degree off there, which is 9 minutes a unit of tan(latitude).
    let events = SolarEvents::new();
    for case in 0_u16..330 {
        let (day, degrees) = (case * 37 % 365, i32::from(case * 17 % 111) - 55);
        let place = Location {
            latitude: f64::from(degrees),
            longitude: 0.0,
        };
        let start = JULIAN_2027 + f64::from(day);
        let horizon = Horizon::Custom(0.0);
        let rise = events
            .next_rise_from_julian(start, start + 1.0, place, 69.0, horizon)
            .unwrap()
            .expect("between the polar circles the sun rises");
        let set = events
            .next_set_from_julian(rise, rise + 1.0, place, 69.0, horizon)
            .unwrap()
            .expect("and sets");
        let side = if degrees < 0 { "S" } else { "N" };
        let ours = sun(i64::from(day) + 1, &format!("{} {side}", degrees.abs()));
        let minutes = f64::from(i32::try_from(ours.daylight.get()).unwrap());
        let difference = minutes - (set - rise) * 24.0 * 60.0;
        let bound = 1.0 + 9.0 * place.latitude.to_radians().tan().abs();
        assert!(
            difference.abs() < bound,
            "day {day}, {degrees}°: {difference} min"
        );
    }
}
