//! How many loads, barrows and bags a heap is.
//!
//! loads = whole number of (volume / least of level box and payload / bulk density); level box = length × width × height. A box that
//! is level full of damp compost may weigh more than the vehicle may carry, so both are looked at. Boxes of common vehicles
//! are printed (S93); the payload stands on the sticker in the driver's door and is never guessed.
//!
//! ```
//! use selion_core::quantities::{Density, Mass, Units, Volume};
//! use selion_core::soil::loads::{self, Vehicle};
//!
//! let pickup = Vehicle { name: "pickup".into(), level: Volume::parse("2.37 cu yd")?, payload: Some(Mass::parse("1500 lb")?) };
//! let density = Some(Density::parse("1000 lb/cu yd")?);
//! let answer = loads::loads(Volume::parse("6 cu yd")?, &pickup, density, Units::UsCustomary)?;
//! assert!(answer.to_string().starts_with("4 loads of the pickup, 1.50 cu yd each\n"));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

use std::fmt;

use serde::Serialize;

use super::exact::count_to_reach;
use crate::quantities::{Density, Length, Mass, Units, Volume};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};

/// The largest heap that is reckoned with: 10,000 m³.
const LARGEST: Volume = Volume::from_ml(10_000_000_000);
/// Grams and millilitres are rounded, so that four loads of 1.5 yards may be some millilitres short of 6 yards: what is over by
/// less than a ten-thousandth of the loads goes along.
const ROUNDING: i128 = 10_000;
/// From this weight on a bag is lifted by two.
const HEAVY_BAG: Mass = Mass::from_grams(18_000);

/// What carries a heap.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vehicle {
    /// What it is called.
    pub name: String,
    /// What it holds, level full.
    pub level: Volume,
    /// What it may carry, where that is known.
    pub payload: Option<Mass>,
}

/// A box of this length, width and height, level full, to the millilitre.
pub fn level_box(length: Length, width: Length, height: Length) -> Result<Volume, Refusal> {
    let sides = [
        ("length of the box", length),
        ("width of the box", width),
        ("height of the box", height),
    ];
    let mut cubic: i128 = 1;
    for (field, side) in sides {
        if !(1..=20_000).contains(&side.mm()) {
            let came = side.show(Units::Metric);
            return Err(Refusal::bad(
                field,
                "more than nothing and at most 20 m",
                came,
            ));
        }
        cubic *= i128::from(side.mm());
    }
    let ml = super::exact::nearest(cubic, 1_000).unwrap_or_default();
    Ok(Volume::from_ml(ml))
}

/// Printed boxes (S93) and barrows (S95): the name, and millilitres level full.
const PRINTED: [(&str, i64); 6] = [
    // 8 × 5.33 × 1.5 ft, 5.67 × 4.5 × 1.5 ft, and barrows of 2, 3, 5 and 6 cu ft.
    ("full-size pickup", 1_811_146),
    ("short-box pickup", 1_083_757),
    ("barrow of 6 cu ft", 169_901),
    ("barrow of 5 cu ft", 141_584),
    ("barrow of 3 cu ft", 84_951),
    ("barrow of 2 cu ft", 56_634),
];

/// A printed box by its name, its payload as given.
pub fn printed_vehicle(name: &str, payload: Option<Mass>) -> Result<Vehicle, Refusal> {
    let row = PRINTED.iter().find(|(printed, _)| *printed == name.trim());
    let Some((name, ml)) = row else {
        let names: Vec<&str> = PRINTED.iter().map(|(name, _)| *name).collect();
        let expected = format!("a box with its sides, or one of {}", names.join(", "));
        return Err(Refusal::bad("vehicle", expected, name));
    };
    Ok(Vehicle {
        name: (*name).to_owned(),
        level: Volume::from_ml(*ml),
        payload,
    })
}

/// How many tenths of a level barrow of 3 cu ft (85 l; S95) a volume is, upwards: 45 is four and a half barrows.
pub fn tenths_of_a_barrow(volume: Volume) -> i64 {
    const LEVEL: i64 = 84_951;
    volume
        .ml()
        .max(0)
        .saturating_mul(10)
        .saturating_add(LEVEL - 1)
        / LEVEL
}

/// A heap in loads of one vehicle.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Loads {
    /// What carries it.
    pub vehicle: String,
    /// How many times.
    pub count: i64,
    /// How much at a time, at most.
    pub each: Volume,
    /// What is on it the last time.
    pub last: Volume,
    /// Whether the weight limits a load, and not the box.
    pub limited_by_weight: bool,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for Loads {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (loads, each) = (
            if self.count == 1 { "load" } else { "loads" },
            self.each.show_bulk(self.units),
        );
        write!(
            out,
            "{} {loads} of the {}, {each} each",
            self.count, self.vehicle
        )?;
        let last = self.last.show_bulk(self.units);
        if last != each {
            write!(out, ", the last {last}")?;
        }
        Ok(())
    }
}

/// How many loads of this vehicle a heap is.
pub fn loads(
    heap: Volume,
    vehicle: &Vehicle,
    density: Option<Density>,
    units: Units,
) -> Result<Reckoning<Loads>, Refusal> {
    check_heap(heap, units)?;
    if !vehicle.level.is_positive() || vehicle.level > LARGEST {
        let came = vehicle.level.show_bulk(units);
        return Err(Refusal::bad("level box", "more than nothing", came));
    }
    let by_weight = match (vehicle.payload, density) {
        (None, _) => None,
        (Some(_), None) => {
            return Err(Refusal::Missing {
                what: "The bulk density".to_owned(),
                why: "whether a full box is too heavy rests on it; weigh one full bucket"
                    .to_owned(),
            });
        }
        (Some(payload), Some(density)) => Some(
            density
                .room(payload)
                .filter(|room| room.is_positive())
                .ok_or_else(|| {
                    Refusal::bad(
                        "payload",
                        "more than nothing, with a bulk density",
                        payload.show(units),
                    )
                })?,
        ),
    };
    let each = by_weight.map_or(vehicle.level, |room| room.min(vehicle.level));
    let refused = || {
        Refusal::bad(
            "volume",
            "a heap that can be counted",
            heap.show_bulk(units),
        )
    };
    let (need, load) = (i128::from(heap.ml()) * ROUNDING, i128::from(each.ml()));
    let count = count_to_reach(need, load * (ROUNDING + 1)).ok_or_else(refused)?;
    let before = each.checked_times(count - 1).ok_or_else(refused)?;
    let result = Loads {
        vehicle: vehicle.name.clone(),
        count,
        each,
        last: heap.checked_sub(before).ok_or_else(refused)?.min(each),
        limited_by_weight: each < vehicle.level,
        units,
    };
    let source = Source::arithmetic(
        "Heap over the lesser of level box and payload / bulk density; boxes of common pickups [compost S93], barrows [compost S95].",
    );
    let mut answer = Reckoning::new(result, source)
        .step(Step::new("Heap", heap.show_bulk(units)))
        .step(Step::new("Level box", vehicle.level.show_bulk(units)));
    if let (Some(payload), Some(density), Some(room)) = (vehicle.payload, density, by_weight) {
        let label = format!("Payload {} at {}", payload.show(units), density.show(units));
        answer = answer.step(Step::new(label, room.show_bulk(units)));
    } else {
        answer =
            answer.on("Payload not given: read the sticker before a full box of anything wet.");
    }
    Ok(answer
        .step(Step::new("A load", each.show_bulk(units)))
        .step(Step::sum("Loads", count.to_string()))
        .rounded("Loads up to the whole number."))
}

/// A heap in bags.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct BagsByVolume {
    /// How many.
    pub count: i64,
    /// What is in them together.
    pub bought: Volume,
    /// What is left when the heap is covered.
    pub left_over: Volume,
    /// The garden's units.
    pub units: Units,
}

impl fmt::Display for BagsByVolume {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (bags, left) = (
            if self.count == 1 { "bag" } else { "bags" },
            self.left_over.show(self.units),
        );
        write!(out, "{} {bags}, {left} left over", self.count)
    }
}

/// How many bags of this volume a heap is; compost in bags is bought by volume, since its weight is mostly water.
///
/// A volume is known to the millilitre, so a yard may be some millilitres more than 27 bags of a cubic foot; what is missing
/// only by that rounding, half a millilitre a bag and half for the heap, counts as covered.
pub fn bags(
    heap: Volume,
    bag: Volume,
    bag_weight: Option<Mass>,
    units: Units,
) -> Result<Reckoning<BagsByVolume>, Refusal> {
    check_heap(heap, units)?;
    let refused = || {
        let expected = "more than nothing and at most 1000 l, such as 1.5 cu ft or 40 l";
        Refusal::bad("volume of a bag", expected, bag.show(units))
    };
    if !(100..=1_000_000).contains(&bag.ml()) {
        return Err(refused());
    }
    let (need, each) = (2 * i128::from(heap.ml()) - 1, 2 * i128::from(bag.ml()) + 1);
    let count = count_to_reach(need, each).ok_or_else(refused)?.max(1);
    let bought = bag.checked_times(count).ok_or_else(refused)?.max(heap);
    let result = BagsByVolume {
        count,
        bought,
        left_over: bought.checked_sub(heap).ok_or_else(refused)?,
        units,
    };
    let source = Source::arithmetic("Heap over bag; a cubic yard is 27 cubic feet [compost S96].");
    let answer = Reckoning::new(result, source)
        .step(Step::new("Heap", heap.show_bulk(units)))
        .step(Step::new("A bag", bag.show(units)))
        .step(Step::sum("Bags", count.to_string()))
        .on("By volume: a 40-lb bag holds some 0.75 cu ft [compost S97] when damp, and its weight is mostly water.")
        .rounded("Bags up to the whole number.");
    let heavy = bag_weight.is_some_and(|weight| weight >= HEAVY_BAG);
    Ok(if heavy {
        answer.caution(Caution::Lifting)
    } else {
        answer
    })
}

fn check_heap(heap: Volume, units: Units) -> Result<(), Refusal> {
    if heap.is_positive() && heap <= LARGEST {
        return Ok(());
    }
    let expected = format!("more than nothing and at most {}", LARGEST.show_bulk(units));
    Err(Refusal::bad("volume", expected, heap.show_bulk(units)))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const US: Units = Units::UsCustomary;

    fn volume(text: &str) -> Volume {
        Volume::parse(text).unwrap()
    }

    #[test]
    fn printed_boxes_are_their_sides() {
        let of = |sides: [&str; 3]| {
            let [length, width, height] = sides.map(|text| Length::parse(text).unwrap());
            level_box(length, width, height).unwrap()
        };
        for (name, sides) in [
            ("full-size pickup", ["8 ft", "5.33 ft", "1.5 ft"]),
            ("short-box pickup", ["5.67 ft", "4.5 ft", "1.5 ft"]),
        ] {
            let printed = printed_vehicle(name, None).unwrap().level;
            // Sides are whole millimetres: less than a thousandth.
            assert!(
                (printed.ml() - of(sides).ml()).abs() * 1_000 < printed.ml(),
                "{name}"
            );
        }
        assert!(printed_vehicle("ox cart", None).is_err());
        assert!(level_box(Length::ZERO, Length::from_mm(1), Length::from_mm(1)).is_err());
    }

    #[test]
    fn a_payload_without_a_density_is_refused() {
        let pickup =
            printed_vehicle("full-size pickup", Some(Mass::parse("1500 lb").unwrap())).unwrap();
        let refusal = loads(volume("6 cu yd"), &pickup, None, US).unwrap_err();
        assert_eq!(refusal.code(), "missing");
        let nothing = Vehicle {
            payload: Some(Mass::ZERO),
            ..pickup.clone()
        };
        let density = Some(Density::parse("1000 lb/cu yd").unwrap());
        assert!(loads(volume("6 cu yd"), &nothing, density, US).is_err());
        assert!(loads(Volume::ZERO, &pickup, density, US).is_err());
        let flat = Vehicle {
            level: Volume::ZERO,
            ..pickup
        };
        assert!(loads(volume("6 cu yd"), &flat, density, US).is_err());
    }

    #[test]
    fn heavy_bags_carry_the_lifting_caution() {
        let bag = volume("40 l");
        let cautions = |weight| {
            bags(volume("1 m3"), bag, weight, Units::Metric)
                .unwrap()
                .cautions
        };
        assert_eq!(cautions(Some(Mass::from_grams(25_000))), [Caution::Lifting]);
        assert!(cautions(None).is_empty());
        assert!(bags(volume("1 m3"), Volume::ZERO, None, US).is_err());
    }

    proptest! {
        #[test]
        fn the_loads_carry_the_heap_and_none_is_idle(heap in 1_i64..1_000_000_000, level in 1_000_i64..10_000_000) {
            let vehicle = Vehicle { name: "trailer".into(), level: Volume::from_ml(level), payload: None };
            let loads = loads(Volume::from_ml(heap), &vehicle, None, Units::Metric).unwrap().result;
            let rounding = heap - loads.each.ml() * (loads.count - 1) - loads.last.ml();
            prop_assert!((0..=loads.count * level / 10_000).contains(&rounding));
            prop_assert!(loads.last.is_positive() && loads.last <= loads.each);
        }

        #[test]
        fn the_heavier_the_material_the_more_loads(heap in 1_000_i64..100_000_000, grams in 100_000_i64..2_000_000, more in 0_i64..2_000_000) {
            let vehicle = Vehicle { name: "trailer".into(), level: Volume::from_ml(2_000_000), payload: Some(Mass::from_grams(700_000)) };
            let count = |grams| {
                loads(Volume::from_ml(heap), &vehicle, Some(Density::from_grams_per_m3(grams)), US).unwrap().result.count
            };
            prop_assert!(count(grams + more) >= count(grams));
        }
    }
}
