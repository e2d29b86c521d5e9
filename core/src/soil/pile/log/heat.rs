//! The count of hot days and turnings while a log is read.

use super::{Entry, HOT, Kind, START_RATIO, TOO_HOT};
use crate::quantities::{CarbonToNitrogen, Day, Units};

/// Days in a row for a pile with air blown through.
const RUN: i64 = 3;
/// Days in all for a pile that is turned, and how often it is to be turned meanwhile.
const DAYS: i64 = 15;
const TURNINGS: i64 = 5;

/// What has been met so far.
pub(super) struct Heat {
    ratio: Option<CarbonToNitrogen>,
    pub(super) days: i64,
    pub(super) longest_run: i64,
    /// Up to the last day that counts.
    pub(super) turnings: i64,
    pub(super) met_on: Option<Day>,
    pub(super) begun_anew_on: Option<Day>,
    run: i64,
    last_hot: Option<Day>,
    /// Turnings after the last day that counts: they join the others once another such day follows.
    turnings_since: i64,
}

impl Heat {
    pub(super) fn begun(ratio: Option<CarbonToNitrogen>) -> Self {
        Self {
            ratio,
            days: 0,
            longest_run: 0,
            turnings: 0,
            met_on: None,
            begun_anew_on: None,
            run: 0,
            last_hot: None,
            turnings_since: 0,
        }
    }

    /// Takes the next day in, and says in words what it did.
    pub(super) fn take(&mut self, kind: Kind, entry: &Entry, units: Units) -> String {
        if let Some(added) = entry.manure {
            *self = Self {
                begun_anew_on: Some(entry.day),
                ..Self::begun(added.ratio)
            };
            return "manure added: begun anew".to_owned();
        }
        let (readings, counts) = self.readings(entry, units);
        if entry.turned && counts {
            self.turnings += 1;
        } else if entry.turned && self.days > 0 {
            self.turnings_since += 1;
        }
        if self.met_on.is_none() && kind != Kind::PlantsOnly && self.missing(kind).is_empty() {
            self.met_on = Some(entry.day);
        }
        let turned = if entry.turned { ", turned" } else { "" };
        format!("{readings}{turned}")
    }

    /// What the probes said, and whether the day counts.
    fn readings(&mut self, entry: &Entry, units: Units) -> (String, bool) {
        let extremes = entry.probes.iter().min().zip(entry.probes.iter().max());
        let Some((&coolest, &hottest)) = extremes else {
            self.run = 0;
            return ("no reading".to_owned(), false);
        };
        let said = if coolest == hottest {
            coolest.show(units)
        } else {
            format!("{} to {}", coolest.show(units), hottest.show(units))
        };
        if hottest > TOO_HOT || coolest < HOT {
            self.run = 0;
            let why = if hottest > TOO_HOT {
                "too hot"
            } else {
                "not hot enough"
            };
            return (format!("{said}, {why}"), false);
        }
        let follows = self
            .last_hot
            .is_some_and(|last| last.plus_days(1) == entry.day);
        self.run = if follows && self.run > 0 {
            self.run + 1
        } else {
            1
        };
        self.longest_run = self.longest_run.max(self.run);
        self.last_hot = Some(entry.day);
        self.days += 1;
        self.turnings += std::mem::take(&mut self.turnings_since);
        (format!("{said}, counts ({})", self.days), true)
    }

    /// What is still missing, in words.
    pub(super) fn missing(&self, kind: Kind) -> Vec<String> {
        let mut missing = Vec::new();
        match kind {
            Kind::PlantsOnly => return missing,
            Kind::AirBlown if self.longest_run < RUN => {
                missing.push(format!(
                    "{RUN} hot days one after the other, so far {}",
                    self.longest_run
                ));
            }
            Kind::Turned => {
                if self.days < DAYS {
                    missing.push(format!("{DAYS} hot days, so far {}", self.days));
                }
                if self.turnings < TURNINGS {
                    missing.push(format!(
                        "{TURNINGS} turnings from the first hot day to the last, so far {}",
                        self.turnings
                    ));
                }
            }
            Kind::AirBlown => {}
        }
        let (low, high) = START_RATIO;
        match self.ratio {
            Some(ratio) if (low..=high).contains(&ratio) => {}
            Some(ratio) => {
                missing.push(format!("a start between {low} and {high}, it was {ratio}"));
            }
            None => missing.push(format!(
                "the carbon to nitrogen at the start, between {low} and {high}"
            )),
        }
        missing
    }
}
