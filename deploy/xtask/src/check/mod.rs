//! Every check there is, the same at home and on a build machine, the fastest first.
//!
//! A step that fails ends the run and says how to repeat it alone. None is skipped in silence.

mod steps;

use std::time::{Duration, Instant};

use anyhow::{Context as _, Result};

use crate::setup::{Readiness, set_up};
use crate::toolchain::WasmToolchain;
use crate::tools::{Places, say};

use steps::STEPS;

/// Which steps are wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Selection {
    All,
    Only(String),
    From(String),
}

/// One check.
struct Step {
    name: &'static str,
    what: &'static str,
    run: fn(&Surroundings) -> Result<()>,
}

/// What a step may use.
struct Surroundings {
    places: Places,
    toolchain: WasmToolchain,
}

/// Runs the wanted steps, then tells how long each took.
pub(crate) fn check(places: &Places, selection: &Selection) -> Result<()> {
    let steps = chosen(selection)?;
    let began = Instant::now();
    let surroundings = Surroundings {
        places: places.clone(),
        toolchain: set_up(places, Readiness::Check)?,
    };
    let mut times = vec![("setup", began.elapsed())];
    for (index, step) in steps.iter().enumerate() {
        say(format!(
            "check {}/{}: {} ({})",
            index + 1,
            steps.len(),
            step.name,
            step.what
        ));
        let began = Instant::now();
        (step.run)(&surroundings).with_context(|| {
            format!(
                "check failed at the step {}; repeat it with `cargo xtask check --only {}`",
                step.name, step.name
            )
        })?;
        times.push((step.name, began.elapsed()));
    }
    for (name, time) in &times {
        say(format!("{name:<14} {:>8}", written(*time)));
    }
    say(format!(
        "check: all {} steps passed in {}",
        steps.len(),
        written(began.elapsed())
    ));
    Ok(())
}

fn chosen(selection: &Selection) -> Result<&'static [Step]> {
    let place_of = |name: &str| {
        STEPS
            .iter()
            .position(|step| step.name == name)
            .with_context(|| {
                let names: Vec<&str> = STEPS.iter().map(|step| step.name).collect();
                format!(
                    "there is no step {name}; the steps are {}",
                    names.join(", ")
                )
            })
    };
    let range = match selection {
        Selection::All => 0..STEPS.len(),
        Selection::Only(name) => {
            let place = place_of(name)?;
            place..place + 1
        }
        Selection::From(name) => place_of(name)?..STEPS.len(),
    };
    Ok(STEPS.get(range).unwrap_or_default())
}

/// `4.2 s`, `3 min 20 s`.
fn written(time: Duration) -> String {
    let seconds = time.as_secs();
    if seconds < 60 {
        format!("{:.1} s", time.as_secs_f64())
    } else {
        format!("{} min {:02} s", seconds / 60, seconds % 60)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(selection: &Selection) -> Result<Vec<&'static str>, String> {
        chosen(selection)
            .map(|steps| steps.iter().map(|step| step.name).collect())
            .map_err(|trouble| trouble.to_string())
    }

    #[test]
    fn steps_are_chosen_by_name() {
        let all = names(&Selection::All).unwrap();
        let (last, but_last) = (all[all.len() - 1], all[all.len() - 2]);
        assert_eq!(names(&Selection::Only(all[2].to_owned())), Ok(vec![all[2]]));
        assert_eq!(
            names(&Selection::From(but_last.to_owned())),
            Ok(vec![but_last, last])
        );
        let said = names(&Selection::Only("weeds".to_owned())).unwrap_err();
        assert!(
            said.starts_with("there is no step weeds; the steps are format, core"),
            "{said}"
        );
    }

    #[test]
    fn no_two_steps_share_a_name() {
        let mut all = names(&Selection::All).unwrap();
        let before = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), before);
    }

    #[test]
    fn times_are_written_for_people() {
        assert_eq!(written(Duration::from_millis(4230)), "4.2 s");
        assert_eq!(written(Duration::from_secs(200)), "3 min 20 s");
        assert_eq!(written(Duration::from_secs(3605)), "60 min 05 s");
    }
}
