//! The demonstration garden's weather: three weeks read off two gauges, up to the day it is made.

use selion_core::document::edit::{ProfileField, Reading};
use selion_core::document::ids::WeatherId;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;
use selion_core::quantities::{Day, Depth, Latitude, Temperature};

use crate::by_hand::{ByHandError, Hand};
use crate::chance;
use crate::rooms::Desk;

/// How far north the garden lies, unless it has been said.
const LATITUDE: i64 = 42_750;
/// An invented climate: the coldest and the warmest of an ordinary day in each month, in tenths of a degree Celsius.
const MONTHS: [(i64, i64); 12] = [
    (-90, 10),
    (-75, 30),
    (-30, 85),
    (30, 155),
    (85, 215),
    (135, 260),
    (165, 285),
    (155, 275),
    (110, 230),
    (50, 160),
    (5, 95),
    (-50, 35),
];
/// The days, the earliest first: rain in tenths of a millimetre, how much colder and warmer than ordinary in tenths of a
/// degree. Nobody looked at the rain gauge on two of them.
const DAYS: [(Option<i64>, i64, i64); 21] = [
    (Some(0), 5, 10),
    (Some(0), 10, 25),
    (Some(38), 20, 5),
    (Some(112), 15, -20),
    (Some(5), -10, -25),
    (Some(0), -25, -5),
    (Some(0), -20, 10),
    (None, -5, 20),
    (Some(0), 5, 30),
    (Some(0), 15, 35),
    (Some(64), 30, 10),
    (Some(0), 10, -10),
    (Some(0), -5, 5),
    (None, 0, 15),
    (Some(25), 10, 0),
    (Some(0), -10, -5),
    (Some(0), -15, 5),
    (Some(305), 15, -15),
    (Some(0), 5, 0),
    (Some(0), 0, 10),
    (Some(0), 10, 15),
];

/// Writes it down. Days of a year that is not open in the garden are left out.
pub(super) fn make(desk: &mut Desk<'_>, hand: Hand, today: Day) -> Result<(), ByHandError> {
    let picture = desk.hall.picture(desk.store.as_read(), hand.garden)?;
    let profile = picture.profile.as_ref();
    let is_placed = profile.is_some_and(|profile| profile.latitude.is_some());
    let mut edits = Vec::new();
    if !is_placed {
        let latitude = Latitude::from_millidegrees(LATITUDE);
        let set = vec![ProfileField::Latitude(Some(latitude))];
        edits.push((DocumentName::Ground, Edit::ChangeProfile { set }));
    }
    let mut readings = Map::new();
    for (ago, (rain, colder, warmer)) in (0_i64..).zip(DAYS.iter().rev()) {
        let day = today.plus_days(-ago);
        if day.year() != today.year() {
            continue;
        }
        let month = usize::try_from(day.month() - 1).unwrap_or(0);
        let (low, high) = MONTHS.get(month).copied().unwrap_or_default();
        let tenths = |count: i64| Some(Temperature::from_millicelsius(count * 100));
        let mut put = |reading: Reading| {
            readings.insert(WeatherId::fresh(desk.now, chance::bytes()), reading);
        };
        put(Reading {
            day,
            rain: rain.map(|rain| Depth::from_micrometres(rain * 100)),
            coldest: tenths(low + colder),
            warmest: tenths(high + warmer),
            gauge: "By the shed".to_owned(),
        });
        // The second gauge is looked at when it has rained; the two are averaged.
        if let Some(rain) = rain.filter(|rain| *rain > 50) {
            put(Reading {
                day,
                rain: Some(Depth::from_micrometres((rain - 6) * 100)),
                coldest: None,
                warmest: None,
                gauge: "Meadow".to_owned(),
            });
        }
    }
    let season = DocumentName::Season(today.year());
    edits.push((season, Edit::NoteWeather { readings }));
    hand.make(desk, edits)
}
