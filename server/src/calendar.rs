//! A person's promises as an iCalendar file (RFC 5545), for the calendar on their phone to fetch.
//!
//! Every entry is a whole day: a garden says on which day, and people come when it suits. The id of an entry is that of the
//! claim, so a calendar moves it when the task moves, and drops it when it is given back.

use icalendar::{Calendar, Class, Component, Event, EventLike, Property};
use selion_core::document::calendar::Promise;
use selion_core::document::edit::Claimable;
use selion_core::quantities::{Day, Moment};

use crate::accounts::FeedGarden;

/// How often a calendar is asked to look again.
const LOOK_AGAIN: &str = "PT1H";

/// Writes the calendar of these gardens; links lead to the service at this address.
pub fn write(gardens: &[FeedGarden], origin: &str) -> String {
    let mut calendar = Calendar::new();
    calendar.name("Garden");
    calendar.append_property(
        Property::new("REFRESH-INTERVAL", LOOK_AGAIN)
            .add_parameter("VALUE", "DURATION")
            .done(),
    );
    for garden in gardens {
        for (promise, bed) in &garden.promises {
            calendar.push(event(&garden.name, promise, bed.as_deref(), origin));
        }
    }
    calendar.to_string()
}

fn event(garden: &str, promise: &Promise, bed: Option<&str>, origin: &str) -> Event {
    let mut event = Event::new();
    let bed_words = bed.map(|bed| format!(" ({bed})")).unwrap_or_default();
    let stand_by = promise.stands_by.map(|_| "Stand-by: ").unwrap_or_default();
    event
        .uid(&format!("{}@selion", promise.claim))
        .add_property("DTSTAMP", stamp(promise.claimed_at))
        .summary(&format!("{stand_by}{}{bed_words}", promise.title))
        .location(garden)
        .class(Class::Private)
        .add_property("TRANSP", "TRANSPARENT");
    event.append_property(whole_day("DTSTART", promise.day));
    // The end of a whole day is the day after (RFC 5545, section 3.6.1).
    event.append_property(whole_day("DTEND", promise.day.plus_days(1)));
    let mut words = Vec::new();
    if promise.minutes.is_positive() {
        words.push(format!("About {}.", promise.minutes.show()));
    }
    if let Some(steps) = promise.stands_by {
        words.push(format!(
            "The places are taken; you are number {steps} on stand-by."
        ));
    }
    if !promise.note.trim().is_empty() {
        words.push(promise.note.trim().to_owned());
    }
    if !words.is_empty() {
        event.description(&words.join("\n"));
    }
    let path = match promise.of {
        Claimable::Task(task) => format!("/task/{task}"),
        Claimable::Turn(turn) => format!("/picking?turn={turn}"),
    };
    event.url(&format!("{origin}{path}"));
    event.done()
}

fn whole_day(name: &str, day: Day) -> Property {
    let digits = day.to_string().replace('-', "");
    Property::new(name, digits)
        .add_parameter("VALUE", "DATE")
        .done()
}

/// A moment in UTC, such as `20260410T080000Z`.
fn stamp(moment: Moment) -> String {
    let day = moment.day_in_utc().to_string().replace('-', "");
    let seconds = moment.millis().div_euclid(1_000).rem_euclid(86_400);
    let (hours, minutes, seconds) = (seconds / 3_600, seconds / 60 % 60, seconds % 60);
    format!("{day}T{hours:02}{minutes:02}{seconds:02}Z")
}
