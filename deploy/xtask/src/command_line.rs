//! The command line: which tasks there are, and what may be said about each.

use std::ffi::OsString;
use std::path::PathBuf;

use anyhow::{Context as _, Result, bail};
use lexopt::Arg;
use lexopt::prelude::*;

use crate::check::Selection;
use crate::setup::Readiness;
use crate::web::Purpose;

/// What `cargo xtask` prints when it is asked for nothing, or for help.
pub(crate) const HELP: &str = "\
Usage: cargo xtask TASK

  run [--port 8080] [--data DIR]     build everything and start the demonstration garden
  check [--only STEP] [--from STEP]  every check there is, the fastest first
  setup [--check]                    get what this machine lacks for building, or for all checks
  web [--dev]                        the client's files for the browser; --dev: soon, not small
  bench                              all measurements, and the weight of a first visit
  soak [--seeds N] [--from SEED]     simulated gardens for longer, from a seed onwards
  pack                               the program as one file, with its SHA-256, in target/pack
";

/// One task, with everything that was said about it.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Task {
    Help,
    Setup(Readiness),
    Web(Purpose),
    Run { port: u16, data: Option<PathBuf> },
    Check(Selection),
    Bench,
    Soak { seeds: u64, first: u64 },
    Pack,
}

impl Task {
    /// Reads the words after `cargo xtask`.
    pub(crate) fn read(words: impl IntoIterator<Item = OsString>) -> Result<Self> {
        let mut words = lexopt::Parser::from_args(words);
        let Some(first) = words.next()? else {
            return Ok(Self::Help);
        };
        let Value(name) = &first else {
            return if matches!(first, Long("help") | Short('h')) {
                Ok(Self::Help)
            } else {
                Err(first.unexpected().into())
            };
        };
        match name.to_str() {
            Some("help") => nothing_more(words, Self::Help),
            Some("setup") => setup(words),
            Some("web") => web(words),
            Some("run") => run(words),
            Some("check") => check(words),
            Some("bench") => nothing_more(words, Self::Bench),
            Some("soak") => soak(words),
            Some("pack") => nothing_more(words, Self::Pack),
            _ => bail!(
                "there is no task {}; `cargo xtask` alone lists them",
                name.display()
            ),
        }
    }
}

fn nothing_more(mut words: lexopt::Parser, task: Task) -> Result<Task> {
    match words.next()? {
        None => Ok(task),
        Some(word) => Err(word.unexpected().into()),
    }
}

fn setup(mut words: lexopt::Parser) -> Result<Task> {
    let mut readiness = Readiness::Build;
    while let Some(word) = words.next()? {
        expect(&word, "check")?;
        readiness = Readiness::Check;
    }
    Ok(Task::Setup(readiness))
}

fn web(mut words: lexopt::Parser) -> Result<Task> {
    let mut purpose = Purpose::Release;
    while let Some(word) = words.next()? {
        expect(&word, "dev")?;
        purpose = Purpose::Development;
    }
    Ok(Task::Web(purpose))
}

fn run(mut words: lexopt::Parser) -> Result<Task> {
    let mut port = 8080;
    let mut data = None;
    while let Some(word) = words.next()? {
        if word == Long("port") {
            port = words
                .value()?
                .parse()
                .context("--port wants a number up to 65535")?;
        } else {
            expect(&word, "data")?;
            data = Some(PathBuf::from(words.value()?));
        }
    }
    Ok(Task::Run { port, data })
}

fn check(mut words: lexopt::Parser) -> Result<Task> {
    let mut selection = Selection::All;
    while let Some(word) = words.next()? {
        let only = word == Long("only");
        if !only {
            expect(&word, "from")?;
        }
        if selection != Selection::All {
            bail!("one --only or one --from is enough");
        }
        let step = words
            .value()?
            .string()
            .context("the name of a step is plain text")?;
        selection = if only {
            Selection::Only(step)
        } else {
            Selection::From(step)
        };
    }
    Ok(Task::Check(selection))
}

fn soak(mut words: lexopt::Parser) -> Result<Task> {
    let mut seeds = 2000;
    // Beyond those that `check` runs each time.
    let mut first = 1000;
    while let Some(word) = words.next()? {
        if word == Long("seeds") {
            seeds = words
                .value()?
                .parse()
                .context("--seeds wants a whole number")?;
        } else {
            expect(&word, "from")?;
            first = words
                .value()?
                .parse()
                .context("--from wants a seed, a whole number")?;
        }
    }
    Ok(Task::Soak { seeds, first })
}

/// Fails unless the word is this option.
fn expect(word: &Arg<'_>, option: &str) -> Result<()> {
    if *word == Long(option) {
        return Ok(());
    }
    Err(word.clone().unexpected().into())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Result<Task, String> {
        Task::read(line.split_whitespace().map(OsString::from))
            .map_err(|trouble| format!("{trouble:#}"))
    }

    #[test]
    fn each_task_is_understood() {
        assert_eq!(read(""), Ok(Task::Help));
        assert_eq!(read("--help"), Ok(Task::Help));
        assert_eq!(read("setup"), Ok(Task::Setup(Readiness::Build)));
        assert_eq!(read("setup --check"), Ok(Task::Setup(Readiness::Check)));
        assert_eq!(read("web --dev"), Ok(Task::Web(Purpose::Development)));
        assert_eq!(
            read("run"),
            Ok(Task::Run {
                port: 8080,
                data: None
            })
        );
        assert_eq!(
            read("run --port=9000 --data shed"),
            Ok(Task::Run {
                port: 9000,
                data: Some(PathBuf::from("shed"))
            })
        );
        assert_eq!(read("check"), Ok(Task::Check(Selection::All)));
        assert_eq!(
            read("check --only lints"),
            Ok(Task::Check(Selection::Only("lints".to_owned())))
        );
        assert_eq!(
            read("check --from docs"),
            Ok(Task::Check(Selection::From("docs".to_owned())))
        );
        assert_eq!(
            read("soak --seeds 9 --from 4"),
            Ok(Task::Soak { seeds: 9, first: 4 })
        );
        assert_eq!(read("pack"), Ok(Task::Pack));
    }

    #[test]
    fn what_is_not_understood_is_said() {
        let said = |line: &str| read(line).unwrap_err();
        assert_eq!(
            said("dig"),
            "there is no task dig; `cargo xtask` alone lists them"
        );
        assert!(said("run --port gate").starts_with("--port wants a number up to 65535"));
        assert!(said("web --fast").contains("--fast"));
        assert!(said("pack twice").contains("twice"));
        assert_eq!(
            said("check --only docs --from core"),
            "one --only or one --from is enough"
        );
    }
}
