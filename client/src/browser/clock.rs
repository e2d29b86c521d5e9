//! What time it is, as the phone believes.

use js_sys::{Array, Date, Function, Object, Reflect};
use selion_core::quantities::{Day, Moment};
use wasm_bindgen::{JsCast, JsValue};

use super::{Trouble, float, thrown, whole};

/// Now.
pub fn now() -> Moment {
    Moment::from_millis(whole(Date::now()))
}

/// The day it is now in a time zone by its IANA name, such as `Europe/Vienna`.
pub fn today(zone: &str) -> Result<Day, Trouble> {
    day_of(now(), zone)
}

/// The day a moment falls on in a time zone.
pub fn day_of(moment: Moment, zone: &str) -> Result<Day, Trouble> {
    let parts = parts_of(
        moment,
        zone,
        &[
            ("year", "numeric"),
            ("month", "numeric"),
            ("day", "numeric"),
        ],
    )?;
    let day = Day::new(
        part(&parts, "year")?,
        part(&parts, "month")?,
        part(&parts, "day")?,
    );
    day.ok_or(Trouble::Missing("a calendar of days"))
}

/// The time of day of a moment in a time zone, such as `09:41`.
pub fn time_of_day(moment: Moment, zone: &str) -> Result<String, Trouble> {
    let parts = parts_of(
        moment,
        zone,
        &[
            ("hour", "2-digit"),
            ("minute", "2-digit"),
            ("hourCycle", "h23"),
        ],
    )?;
    let (hour, minute): (u8, u8) = (part(&parts, "hour")?, part(&parts, "minute")?);
    Ok(format!("{hour:02}:{minute:02}"))
}

/// The zone the phone is set to, by its IANA name.
pub fn own_zone() -> Option<String> {
    let format = formatter(&Object::new()).ok()?;
    let resolve = Reflect::get(&format, &"resolvedOptions".into())
        .ok()?
        .dyn_into::<Function>()
        .ok()?;
    let options = resolve.call0(&format).ok()?;
    Reflect::get(&options, &"timeZone".into()).ok()?.as_string()
}

// The parts of a moment as `Intl` writes them, by kind: the one way a browser knows about zones.
fn parts_of(
    moment: Moment,
    zone: &str,
    wanted: &[(&str, &str)],
) -> Result<Vec<(String, String)>, Trouble> {
    let options = Object::new();
    for (name, value) in wanted.iter().copied().chain([
        ("timeZone", zone),
        ("calendar", "gregory"),
        ("numberingSystem", "latn"),
    ]) {
        Reflect::set(&options, &name.into(), &value.into()).map_err(thrown)?;
    }
    let format = formatter(&options)?;
    let to_parts = Reflect::get(&format, &"formatToParts".into())
        .map_err(thrown)?
        .dyn_into::<Function>()
        .map_err(|_not_a_function| Trouble::Missing("dates by time zone"))?;
    let date = Date::new(&JsValue::from_f64(float(moment.millis())));
    let parts = to_parts.call1(&format, &date).map_err(thrown)?;
    Ok(Array::from(&parts)
        .iter()
        .filter_map(|part| {
            let text = |name: &str| Reflect::get(&part, &name.into()).ok()?.as_string();
            Some((text("type")?, text("value")?))
        })
        .collect())
}

fn part<T: std::str::FromStr>(parts: &[(String, String)], kind: &str) -> Result<T, Trouble> {
    parts
        .iter()
        .find(|(name, _)| name == kind)
        .and_then(|(_, value)| value.parse().ok())
        .ok_or(Trouble::Missing("dates by time zone"))
}

// `new Intl.DateTimeFormat("en", options)`; an unknown zone throws, which becomes an error here.
fn formatter(options: &Object) -> Result<JsValue, Trouble> {
    let missing = |_not_there| Trouble::Missing("dates by time zone");
    let intl = Reflect::get(&js_sys::global(), &"Intl".into()).map_err(missing)?;
    let constructor = Reflect::get(&intl, &"DateTimeFormat".into())
        .map_err(missing)?
        .dyn_into::<Function>()
        .map_err(missing)?;
    Reflect::construct(&constructor, &Array::of2(&"en".into(), options)).map_err(thrown)
}
