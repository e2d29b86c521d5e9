//! The year of a bed in words: the list that says the same as the drawing.

use selion_core::document::records::StartsAs;
use selion_core::document::season_plan::fits::Gap;
use selion_core::document::season_plan::year_view::Bar;
use selion_core::quantities::Day;

use super::{Band, state_word, weeks};
use crate::plain::wording::{capital, margin_day};

/// A day as it is said in a year: `20 Apr`, with its year when that is another.
pub fn said(day: Day, year: i16) -> String {
    let words = margin_day(day);
    if day.year() == year {
        words
    } else {
        format!("{words} {}", day.year())
    }
}

/// What happens to a planting, day by day: `sown 20 Apr · picked 6 Jul to 19 Jul, an estimate`.
pub fn days(bar: &Bar, year: i16) -> String {
    let begins = match bar.starts_as {
        StartsAs::Sown => "sown",
        StartsAs::Set => "set out",
    };
    let mut words = format!("{begins} {}", said(bar.from, year));
    if let Some(first) = bar.picked_from {
        words.push_str(" · picked ");
        if first < bar.to {
            words.push_str(&said(first, year));
            words.push_str(" to ");
        }
    } else {
        words.push_str(" · ended ");
    }
    words.push_str(&said(bar.to, year));
    if bar.estimated {
        words.push_str(", an estimate");
    }
    words
}

/// A bar in words, for who does not see it.
pub fn spoken(bar: &Bar, bed: &str, year: i16) -> String {
    let kind = if bar.cover { "cover crop " } else { "" };
    format!(
        "{bed}: {kind}{}, {}, {}",
        bar.crop,
        state_word(bar),
        days(bar, year).replace(" · ", ", ")
    )
}

/// When a bed is free: `from 3 Aug to 31 Dec`.
pub fn free_days(gap: Gap, year: i16) -> String {
    format!("from {} to {}", said(gap.from, year), said(gap.to, year))
}

/// A line about a planting or about free days.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToldLine {
    /// What.
    pub what: String,
    /// When.
    pub small: String,
    /// How far it has come.
    pub state: &'static str,
    /// What it is about.
    pub about: About,
}

/// What a line is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum About {
    /// A planting.
    Planting(selion_core::document::ids::PlantingId),
    /// Free days.
    Free(Gap),
}

/// The lines of a bed's year, by day.
pub fn lines(band: &Band, year: i16) -> Vec<ToldLine> {
    let mut lines: Vec<(Day, ToldLine)> = Vec::new();
    for drawn in &band.bars {
        let bar = &drawn.bar;
        let line = ToldLine {
            what: capital(&bar.crop),
            small: capital(&days(bar, year)),
            state: state_word(bar),
            about: About::Planting(bar.planting),
        };
        lines.push((bar.from, line));
    }
    for free in &band.free {
        let line = ToldLine {
            what: format!("Free {}", free_days(free.gap, year)),
            small: format!("{}: see what fits", weeks(free.gap)),
            state: "free",
            about: About::Free(free.gap),
        };
        lines.push((free.gap.from, line));
    }
    selion_core::ordered::sort_by_key(&mut lines, |(day, _)| *day);
    let mut told: Vec<ToldLine> = lines.into_iter().map(|(_, line)| line).collect();
    told.extend(band.unknown.iter().map(|(planting, why)| ToldLine {
        what: capital(why),
        small: "So it is not drawn".to_owned(),
        state: "days unknown",
        about: About::Planting(*planting),
    }));
    told
}
