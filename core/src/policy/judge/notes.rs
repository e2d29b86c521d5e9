//! Edits that write down what is so: own crops, recipients, harvests, weather.

use super::season::season;
use super::{Case, Judged, Verdict, already_there, not_there, write};
use crate::document::Edit;
use crate::document::edit::{NewHarvest, Reading};
use crate::document::ids::{PickingId, WeatherId};
use crate::document::records::{Picked, Picking, WeatherNote};
use crate::document::stored::Write;
use crate::ordered::Map;
use crate::policy::{RefusalCode, Refused};
use crate::quantities::BadInput;

#[expect(
    clippy::wildcard_enum_match_arm,
    reason = "`judge` lists every edit and sends only these here"
)]
pub(super) fn judge(case: &Case<'_>) -> Verdict {
    match &case.envelope.edit {
        Edit::KeepCrop { crop, record } => {
            let twin = case.garden.crops.iter().any(|(id, other)| {
                id != crop
                    && other.ended_on.is_none()
                    && record.ended_on.is_none()
                    && other.cover == record.cover
                    && other.name.trim().eq_ignore_ascii_case(record.name.trim())
            });
            if twin {
                return Err(Refused::new(
                    RefusalCode::AlreadyThere,
                    format!(
                        "name: there already are own values for {}.",
                        record.name.trim()
                    ),
                ));
            }
            write(Write::Crop(*crop, record.clone()))
        }
        Edit::KeepRecipient { recipient, record } => {
            write(Write::Recipient(*recipient, record.clone()))
        }
        Edit::LogHarvest { picking, harvest } => log_harvest(case, *picking, harvest),
        Edit::NoteWeather { readings } => note_weather(case, readings),
        Edit::StrikeWeather { reading, on } => {
            let mut record = WeatherNote::clone(
                season(case)?
                    .weather
                    .get(reading)
                    .ok_or_else(|| not_there("reading"))?,
            );
            record.ended_on = record.ended_on.or(Some(*on));
            write(Write::Weather(*reading, record))
        }
        _other => Err(Refused::new(
            RefusalCode::WrongPlace,
            "This change does not belong here.",
        )),
    }
}

fn log_harvest(case: &Case<'_>, id: PickingId, new: &NewHarvest) -> Verdict {
    let season = season(case)?;
    if season.pickings.contains_key(&id) {
        return Err(already_there("picking"));
    }
    // What was picked was picked, even if the bed was given up since.
    if !case.garden.beds.contains_key(&new.bed) {
        return Err(not_there("bed"));
    }
    if new
        .turn
        .is_some_and(|turn| !season.turns.contains_key(&turn))
    {
        return Err(not_there("picking turn"));
    }
    if new
        .planting
        .is_some_and(|planting| !season.plantings.contains_key(&planting))
    {
        return Err(not_there("planting"));
    }
    let known = |recipient| case.garden.recipients.contains_key(recipient);
    if !new.parts.given.keys().all(known) {
        return Err(not_there("recipient"));
    }
    let parts = new.parts.clone();
    let record = Picking {
        bed: new.bed,
        day: new.day,
        crop: new.crop.clone(),
        mass: Picking::mass_of(&parts),
        picked: if parts.given_away() > 0 && parts.kept == 0 {
            Picked::GivenAway
        } else {
            Picked::Kept
        },
        member: case.author,
        turn: new.turn,
        word: new.word.clone(),
        parts: Some(parts),
        planting: new.planting,
        ended_on: None,
    };
    write(Write::Picking(id, record))
}

fn note_weather(case: &Case<'_>, readings: &Map<WeatherId, Reading>) -> Verdict {
    let season = season(case)?;
    let mut writes = Vec::new();
    for (id, reading) in readings {
        if let Some(there) = season.weather.get(id) {
            // The same day of the same station, brought in from a file on two phones, has one id and stands once.
            if reading.stands_as(there) {
                continue;
            }
            return Err(already_there("reading"));
        }
        if reading.day.year() != case.year() {
            let expected = format!("a day of {}", case.year());
            return Err(BadInput::new("day", expected, reading.day.to_string()).into());
        }
        let record = WeatherNote {
            day: reading.day,
            rain: reading.rain,
            coldest: reading.coldest,
            warmest: reading.warmest,
            gauge: reading.gauge.clone(),
            member: case.author,
            ended_on: None,
        };
        writes.push(Write::Weather(*id, record));
    }
    Ok(Judged { writes, told: None })
}
