//! Sun, reference water, crop water, root zones and their account, water for a bed.

use super::super::case::Case;
use super::super::{Printed, Topic, TopicError};
use crate::quantities::{BadInput, Day, Length};
use crate::work::water::balance::{self, BalanceCase, BalanceDay, Order};
use crate::work::water::beds::{self, WeekCase};
use crate::work::water::crops::{self, Kc};
use crate::work::water::evaporation::{self, DayAir, Humidity, Sun, Weather};
use crate::work::water::root_zone::{self, Holding, RootZone};
use crate::work::water::sun;

pub(in super::super) const TOPICS: &[Topic] = &[
    Topic {
        name: "sun",
        summary: "The length of a day at a latitude, and the sun above the air.",
        example: r#"{"day": "2027-07-06", "latitude": "50.8 N"}"#,
        run: run_sun,
    },
    Topic {
        name: "reference-water",
        summary: "What short grass loses in a day, by Penman-Monteith, or from two temperatures by Hargreaves.",
        example: r#"{"method": "penman-monteith", "day": "2027-07-06", "latitude": "50.8 N", "elevation": "100 m",
            "high": "21.5 C", "low": "12.3 C", "humidity_high": "84 %", "humidity_low": "63 %",
            "wind": "10 km/h", "wind_height": "10 m", "sun": "9 h 15 min"}"#,
        run: run_reference_water,
    },
    Topic {
        name: "crop-coefficient",
        summary: "How much of the reference water a crop drinks on a day of its life.",
        example: r#"{"crop": "tomato", "day": 50}"#,
        run: run_crop_coefficient,
    },
    Topic {
        name: "root-zone",
        summary: "What the soil holds for roots, and how many dry days that lasts.",
        example: r#"{"field_capacity": "25 %", "wilting_point": "12 %", "roots": "70 cm", "crop": "tomato", "drinks": "5.75 mm"}"#,
        run: run_root_zone,
    },
    Topic {
        name: "water-balance",
        summary: "The account of a root zone from day to day, by a chosen order of events, and when water is due.",
        example: r#"{"texture": "loam", "roots": "50 cm", "p": "40 %", "gone": "10 mm", "order": "water-first",
            "days": [{"drinks": "5.5 mm"}, {"drinks": "6 mm", "rain": "12 mm"}, {"drinks": "5 mm", "watering": "10 mm"}]}"#,
        run: run_water_balance,
    },
    Topic {
        name: "weekly-water",
        summary: "Water for a bed by the rule of an inch a week, in litres or gallons.",
        example: r#"{"area": "100 sq ft", "rains": ["0.4 in"], "units": "us"}"#,
        run: run_weekly_water,
    },
];

fn run_sun(case: &Case) -> Result<Printed, TopicError> {
    Printed::of(&sun::of_day(day_of_year(case)?, case.read("latitude")?)?)
}

fn day_of_year(case: &Case) -> Result<i64, BadInput> {
    sun::day_of_year(case.read::<Day>("day")?)
}

fn run_reference_water(case: &Case) -> Result<Printed, TopicError> {
    let methods = [("penman-monteith", true), ("hargreaves", false)];
    let air = DayAir {
        high: case.read("high")?,
        low: case.read("low")?,
    };
    let units = case.units()?;
    let (day, latitude) = (day_of_year(case)?, case.read("latitude")?);
    if !case.choice("method", &methods)? {
        let above = sun::of_day(day, latitude)?.result.above_the_air;
        return Printed::of(&evaporation::hargreaves(air, above, units)?);
    }
    let humidity = match (case.read_if("vapour")?, case.read_if("humidity_high")?) {
        (Some(vapour), _) => Humidity::Vapour(vapour),
        (None, Some(high)) => Humidity::Relative {
            high,
            low: case.read("humidity_low")?,
        },
        (None, None) => Humidity::default(),
    };
    let wind = match case.read_if("wind")? {
        Some(wind) => Some((wind, case.read::<Length>("wind_height")?)),
        None => None,
    };
    let sun = match (case.read_if("radiation")?, case.read_if("sun")?) {
        (Some(radiation), _) => Sun::Radiation(radiation),
        (None, Some(hours)) => Sun::Hours(hours),
        (None, None) => Sun::default(),
    };
    Printed::of(&evaporation::penman_monteith(&Weather {
        day,
        latitude,
        elevation: case.read("elevation")?,
        air,
        humidity,
        wind,
        sun,
        ground_heat: case.read_if("ground_heat")?.unwrap_or_default(),
        units,
    })?)
}

fn run_crop_coefficient(case: &Case) -> Result<Printed, TopicError> {
    let crop = case.read_by("crop", crops::find)?;
    let stages = if case.has("stages") {
        let stages = case.whole_each("stages", &(1..=400))?;
        let four = <[i64; 4]>::try_from(stages).map_err(|came| {
            BadInput::new(
                "stages",
                "four numbers of days",
                format!("{} numbers", came.len()),
            )
        })?;
        Some(four)
    } else {
        None
    };
    let kc = if case.has("kc") {
        let kc: Vec<Kc> = case.read_each("kc")?;
        let three = <[Kc; 3]>::try_from(kc).map_err(|came| {
            BadInput::new(
                "kc",
                "three coefficients",
                format!("{} numbers", came.len()),
            )
        })?;
        Some(three)
    } else {
        None
    };
    Printed::of(&crops::on_day(
        crop,
        stages,
        kc,
        case.whole("day", 0..=1_600)?,
    )?)
}

/// A root zone by its own figures, by texture and by crop.
fn root_zone(case: &Case) -> Result<RootZone, BadInput> {
    let holding = match case.read_if("field_capacity")? {
        Some(capacity) => Holding::Own {
            capacity,
            wilting: case.read("wilting_point")?,
        },
        None => case.read_by("texture", Holding::of_texture)?,
    };
    let crop = case.read_if_by("crop", crops::find)?;
    let (roots, easy) = (case.read_if("roots")?, case.read_if("p")?);
    Ok(RootZone {
        holding,
        roots: match (roots, crop) {
            (Some(roots), _) => roots,
            (None, Some(crop)) => crop.roots.0,
            (None, None) => case.read("roots")?,
        },
        easy: match (easy, crop) {
            (Some(easy), _) => easy,
            (None, Some(crop)) => crop.easy,
            (None, None) => case.read("p")?,
        },
    })
}

fn run_root_zone(case: &Case) -> Result<Printed, TopicError> {
    let zone = root_zone(case)?;
    Printed::of(&root_zone::refill(
        &zone,
        case.read_if("drinks")?,
        case.units()?,
    )?)
}

fn run_water_balance(case: &Case) -> Result<Printed, TopicError> {
    let orders = [
        ("water-first", Order::WaterFirst),
        ("water-last", Order::WaterLast),
    ];
    let zone = root_zone(case)?;
    let mut days = Vec::new();
    for day in case.list("days")? {
        days.push(BalanceDay {
            drinks: day.read("drinks")?,
            rain: day.read_if("rain")?.unwrap_or_default(),
            watering: day.read_if("watering")?.unwrap_or_default(),
        });
    }
    Printed::of(&balance::keep(&BalanceCase {
        all: zone.all()?,
        easily: zone.easily()?,
        gone: case.read_if("gone")?.unwrap_or_default(),
        order: case.choice("order", &orders)?,
        days,
        units: case.units()?,
    })?)
}

fn run_weekly_water(case: &Case) -> Result<Printed, TopicError> {
    let rains = if case.has("rains") {
        case.read_each("rains")?
    } else {
        Vec::new()
    };
    Printed::of(&beds::need(&WeekCase {
        area: case.read("area")?,
        a_week: case.read_if("a_week")?,
        rains,
        holds: case.read_if("holds")?,
        units: case.units()?,
    })?)
}

#[cfg(test)]
mod tests {
    use super::super::super::run;

    #[test]
    fn metric_and_customary_readings_give_the_same_water() {
        let water = |case: &str| run("weekly-water", case).unwrap().json["result"]["water"].clone();
        assert_eq!(
            water(r#"{"area": "100 sq ft", "rains": ["0.4 in"], "units": "us"}"#),
            water(r#"{"area": "9.290304 m2", "rains": ["10.16 mm"]}"#)
        );
        let lost = |air: &str| {
            let case = format!(
                r#"{{"method": "hargreaves", "day": "2027-07-15", "latitude": "45.72 N", {air}}}"#
            );
            run("reference-water", &case).unwrap().json["result"]["per_day"].clone()
        };
        assert_eq!(
            lost(r#""high": "77 F", "low": "59 F""#),
            lost(r#""high": "25 C", "low": "15 C""#)
        );
    }

    #[test]
    fn own_stages_and_coefficients_are_counted() {
        let refused = |own: &str| {
            let case = format!(r#"{{"crop": "garlic", "day": 5, {own}}}"#);
            run("crop-coefficient", &case).unwrap_err().to_string()
        };
        assert!(refused(r#""stages": [1, 2]"#).starts_with("stages: expected four"));
        assert!(refused(r#""kc": ["1"]"#).starts_with("kc: expected three"));
    }
}
