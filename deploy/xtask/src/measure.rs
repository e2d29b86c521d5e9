//! Measurements, and simulated gardens run for longer than the checks do.

use anyhow::Result;

use crate::setup::{Readiness, set_up};
use crate::tools::{Places, cargo, run, say};
use crate::web::{self, Purpose};

/// One program that measures something.
struct Measurement {
    what: &'static str,
    arguments: &'static [&'static str],
}

/// Everything `bench` runs, in this order. A new measurement is a line here.
const MEASUREMENTS: [Measurement; 2] = [
    Measurement {
        what: "documents, edits and reckonings",
        arguments: &["bench", "--package", "selion-tests", "--benches"],
    },
    Measurement {
        what: "a service under many phones",
        arguments: &[
            "run",
            "--release",
            "--package",
            "selion-tests",
            "--bin",
            "storm",
        ],
    },
];

/// Runs all measurements and weighs a first visit.
pub(crate) fn bench(places: &Places) -> Result<()> {
    let toolchain = set_up(places, Readiness::Build)?;
    for measurement in &MEASUREMENTS {
        say(format!("bench: {}", measurement.what));
        run(cargo(places).args(measurement.arguments))?;
    }
    let dist = web::build(places, toolchain, Purpose::Release)?;
    web::tell_first_load(&dist)?;
    Ok(())
}

/// Runs the simulation over many seeds. A failing seed prints the line that repeats it.
pub(crate) fn soak(places: &Places, seeds: u64, first: u64) -> Result<()> {
    say(format!("soak: {seeds} seeds from {first}"));
    run(cargo(places)
        .args(["test", "--package", "selion-tests", "--release"])
        .args(["convergence", "--", "--nocapture"])
        .env("SELION_SEEDS", seeds.to_string())
        .env("SELION_FIRST_SEED", first.to_string()))
}
