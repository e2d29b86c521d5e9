//! Writing down what the gauges showed on a day.

use leptos::prelude::*;
use selion_core::document::ids::WeatherId;
use selion_core::document::{DocumentName, Edit};
use selion_core::ordered::Map;

use crate::parts::{amount_field, date_field, form, send_button, sheet, text_field, use_toasts};
use crate::piece::{Piece, el, signal_of};
use crate::plain::weather_form::{FIELDS, WeatherTyped, rain_unit, scale};
use crate::plain::weather_rows::{gauges, said};
use crate::screens::form::{Wrong, wrong_whole};
use crate::state::use_book;

pub(super) fn write_sheet(open: RwSignal<bool>) -> Piece {
    sheet(open, "Write down a day", move || write_form(open))
}

fn write_form(open: RwSignal<bool>) -> Piece {
    let book = use_book();
    let toasts = use_toasts();
    let wrong = Wrong::new(FIELDS);
    let units = untrack(|| book.units());
    let day = signal_of(book.today.get_untracked().to_string());
    let [rain, coldest, warmest] = std::array::from_fn(|_| signal_of(String::new()));
    // Whoever reads a gauge mostly reads the same one.
    let known = gauges(&book.garden.get_untracked());
    let gauge = signal_of(known.first().cloned().unwrap_or_default());
    let help = if known.len() > 1 {
        format!(
            "Several gauges on one day are averaged. Known here: {}.",
            known.join(", ")
        )
    } else {
        "Several gauges on one day are averaged. Its name may stay empty.".to_owned()
    };
    let send = move || {
        wrong.clear();
        let typed = WeatherTyped {
            day: day.get_untracked(),
            rain: rain.get_untracked(),
            coldest: coldest.get_untracked(),
            warmest: warmest.get_untracked(),
            gauge: gauge.get_untracked(),
        };
        let reading = match typed.read(units, book.today.get_untracked()) {
            Ok(reading) => reading,
            Err(all) => {
                for bad in &all {
                    wrong.bad(bad);
                }
                return;
            }
        };
        let document = DocumentName::Season(reading.day.year());
        let words = said(reading.rain, reading.coldest, reading.warmest, units);
        let id = book.fresh(WeatherId::fresh);
        let readings = Map::from([(id, reading)]);
        if !wrong.write(book, document, Edit::NoteWeather { readings }) {
            return;
        }
        open.set(false);
        toasts.say_with_undo(format!("Written down: {words}."), move || {
            let on = book.today.get_untracked();
            let strike = Edit::StrikeWeather { reading: id, on };
            super::say_refused(book, toasts, document, strike);
        });
    };
    form(send)
        .child(date_field("Day", day).error(wrong.at("day")))
        .child(
            amount_field("Rain", rain, rain_unit(units))
                .help("As the gauge shows it; 0 when it stayed dry, empty when nobody looked.")
                .error(wrong.at("rain")),
        )
        .child(
            el("div")
                .class("pair")
                .child(amount_field("Coldest", coldest, scale(units)).error(wrong.at("coldest")))
                .child(amount_field("Warmest", warmest, scale(units)).error(wrong.at("warmest"))),
        )
        .child(
            text_field("Gauge", gauge)
                .help(help)
                .error(wrong.at("gauge")),
        )
        .child(wrong_whole(wrong))
        .child(send_button("Write it down"))
        .into()
}
