//! Whether the heat of a pile makes its manure safe, day by day.
//!
//! A day counts when its coolest probe is at least 131 °F (55 °C) and its hottest at most 170 °F. Then (S26, S32, S33):
//!
//! - a pile in a vessel or with air blown through: three days that count, one after the other;
//! - a pile that is turned: fifteen days that count, not necessarily one after the other, and at least five turnings from the
//!   first of them to the last;
//! - and a start between 25:1 and 40:1 carbon to nitrogen.
//!
//! A day without a reading does not count, nor does a day above 170 °F. Manure added to a pile starts everything anew (S34). Until
//! all is met the batch stays raw manure. A fact sheet holds three hot days of everything to be enough for turned piles as well
//! (S34); the stricter rule is taken, for people who eat raw crops. A pile of plants alone needs none of this.
//!
//! ```
//! use selion_core::quantities::{CarbonToNitrogen, Day, Temperature, Units};
//! use selion_core::soil::pile::log::{self, Entry, Kind, PileLog};
//!
//! let hot = |day: &str| -> Result<Entry, selion_core::quantities::BadInput> {
//!     Ok(Entry { probes: vec![Temperature::parse("140 F")?], ..Entry::on(Day::parse(day)?) })
//! };
//! let pile = PileLog {
//!     kind: Kind::AirBlown,
//!     start_ratio: Some(CarbonToNitrogen::parse("30:1")?),
//!     entries: vec![hot("2026-05-01")?, hot("2026-05-02")?, hot("2026-05-03")?],
//! };
//! assert_eq!(log::judge(&pile, Units::Metric)?.result.met_on, Some(Day::parse("2026-05-03")?));
//! # Ok::<(), selion_core::reckoning::Refusal>(())
//! ```

mod heat;

use std::fmt;

use serde::Serialize;

use crate::quantities::{CarbonToNitrogen, Day, Temperature, Units};
use crate::reckoning::{Caution, Reckoning, Refusal, Source, Step};
use heat::Heat;

/// 131 °F.
const HOT: Temperature = Temperature::from_millicelsius(55_000);
/// 170 °F, as it is read.
const TOO_HOT: Temperature = Temperature::from_millicelsius(76_667);
/// Below this a pile that was turned no longer heats (S39).
const COOL: Temperature = Temperature::from_millicelsius(45_000);
const START_RATIO: (CarbonToNitrogen, CarbonToNitrogen) = (
    CarbonToNitrogen::from_hundredths(2_500),
    CarbonToNitrogen::from_hundredths(4_000),
);
/// The longest log: some five years.
const MOST_ENTRIES: usize = 2_000;

/// How a pile gets its air.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// By turning.
    Turned,
    /// In a vessel, or standing with air blown through.
    AirBlown,
    /// A pile without any manure, whichever way; it needs no heat.
    PlantsOnly,
}

/// What was written down about a pile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PileLog {
    /// How it gets its air, or that there is no manure in it.
    pub kind: Kind,
    /// Carbon to nitrogen of the mix at the start.
    pub start_ratio: Option<CarbonToNitrogen>,
    /// Day by day, earliest first, one entry a day at most.
    pub entries: Vec<Entry>,
}

/// What happened to a pile on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The day.
    pub day: Day,
    /// What the probes said; none where nobody looked.
    pub probes: Vec<Temperature>,
    /// Whether it was turned.
    pub turned: bool,
    /// Whether manure went in, or raw manure came into contact with it.
    pub manure: Option<ManureAdded>,
}

/// Manure that went into a pile.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ManureAdded {
    /// Carbon to nitrogen of the pile with it, where it was reckoned.
    pub ratio: Option<CarbonToNitrogen>,
}

impl Entry {
    /// A day on which nothing has been written down yet.
    pub fn on(day: Day) -> Self {
        Self {
            day,
            probes: Vec::new(),
            turned: false,
            manure: None,
        }
    }
}

/// How a pile stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PileStanding {
    /// How it gets its air.
    pub kind: Kind,
    /// The day on which everything was met; nothing while it is raw manure.
    pub met_on: Option<Day>,
    /// Days that count since the start, or since manure was last added.
    pub days: i64,
    /// The longest run of them.
    pub longest_run: i64,
    /// Turnings from the first day that counts to the last.
    pub turnings: i64,
    /// When manure was last added.
    pub begun_anew_on: Option<Day>,
    /// What is still missing.
    pub missing: Vec<String>,
    /// The last turning after which no probe reached 45 °C: curing may be counted from there.
    pub cool_since: Option<Day>,
}

impl fmt::Display for PileStanding {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.kind, self.met_on) {
            (Kind::PlantsOnly, _) => out.write_str("No interval: plants alone"),
            (_, Some(day)) => write!(out, "Heated enough on {day}; it may cure now"),
            (_, None) => write!(out, "Still raw manure: {}", self.missing.join("; ")),
        }
    }
}

/// How this pile stands by its log.
pub fn judge(log: &PileLog, units: Units) -> Result<Reckoning<PileStanding>, Refusal> {
    check(log)?;
    let mut heat = Heat::begun(log.start_ratio);
    let mut steps = Vec::new();
    for entry in &log.entries {
        let said = heat.take(log.kind, entry, units);
        steps.push(Step::new(entry.day.to_string(), said));
    }
    steps.push(Step::sum("Days that count", heat.days.to_string()));
    steps.push(Step::new("Longest run", heat.longest_run.to_string()));
    steps.push(Step::new(
        "Turnings from first to last",
        heat.turnings.to_string(),
    ));
    let standing = PileStanding {
        kind: log.kind,
        met_on: heat.met_on,
        days: heat.days,
        longest_run: heat.longest_run,
        turnings: heat.turnings,
        begun_anew_on: heat.begun_anew_on,
        missing: heat.missing(log.kind),
        cool_since: cool_since(&log.entries),
    };
    let plants_only = log.kind == Kind::PlantsOnly;
    let is_raw = !plants_only && standing.met_on.is_none();
    let mut answer = Reckoning::new(standing, source(log.kind));
    answer.steps = steps;
    if plants_only {
        return Ok(answer);
    }
    let counts = format!(
        "A day counts from {} at its coolest probe to {} at its hottest; a day without a reading does not.",
        HOT.show(units),
        TOO_HOT.show(units)
    );
    answer = answer
        .on(counts)
        .on("Probes 12 to 24 inches (30 to 60 cm) below the surface [compost S36].");
    if let Some(day) = answer.result.cool_since {
        answer = answer.on(format!(
            "No probe reached {} after the turning of {day}: curing may be counted from there.",
            COOL.show(units)
        ));
    }
    Ok(if is_raw {
        answer.caution(Caution::RawManure)
    } else {
        answer
    })
}

fn source(kind: Kind) -> Source {
    Source::published(match kind {
        Kind::PlantsOnly => "7 CFR 205.203(c)(3): uncomposted plant material [compost S26].",
        Kind::Turned | Kind::AirBlown => {
            "7 CFR 205.203(c)(2) [compost S26]; 21 CFR 112.54 in Michigan State Extension's words [compost S32]; new manure starts anew [compost S34]."
        }
    })
}

fn check(log: &PileLog) -> Result<(), Refusal> {
    if log.entries.len() > MOST_ENTRIES {
        let came = format!("{} entries", log.entries.len());
        return Err(Refusal::bad(
            "entries",
            format!("at most {MOST_ENTRIES}"),
            came,
        ));
    }
    for pair in log.entries.windows(2) {
        if let [earlier, later] = pair
            && earlier.day >= later.day
        {
            let came = format!("{} after {}", later.day, earlier.day);
            return Err(Refusal::bad("entries", "one a day, earliest first", came));
        }
    }
    Ok(())
}

/// The last turning that was followed by readings, all of them below 45 °C.
fn cool_since(entries: &[Entry]) -> Option<Day> {
    let (turned_at, entry) = entries
        .iter()
        .enumerate()
        .rfind(|(_, entry)| entry.turned)?;
    let later = entries.get(turned_at + 1..)?;
    let mut readings = later.iter().flat_map(|entry| &entry.probes).peekable();
    let stays_cool = readings.peek().is_some() && readings.all(|reading| *reading < COOL);
    let stays_itself = later.iter().all(|entry| entry.manure.is_none());
    (stays_cool && stays_itself).then_some(entry.day)
}

#[cfg(test)]
mod tests;
