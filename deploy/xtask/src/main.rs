//! The tasks behind `cargo xtask`: from a clone to a checked, running, packed service.
#![expect(
    clippy::print_stdout,
    reason = "a command-line tool tells its user what it does"
)]

mod debian_rust;
mod packages;
mod setup;
mod toolchain;
mod tools;
mod web;

use std::process::ExitCode;

use anyhow::Result;
use lexopt::prelude::*;

use setup::Readiness;
use tools::Places;
use web::Purpose;

const HELP: &str = "\
Usage: cargo xtask TASK

  setup            get what this machine lacks for building (with --check: for all checks as well)
  web [--dev]      build the client for the browser; --dev: quickly, for the person changing it
";

fn main() -> ExitCode {
    match task() {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            tools::say(format!("{trouble:#}"));
            ExitCode::FAILURE
        }
    }
}

fn task() -> Result<()> {
    let mut arguments = lexopt::Parser::from_env();
    let places = Places::find()?;
    match arguments.next()? {
        Some(Value(task)) if task == "web" => {
            let mut purpose = Purpose::Release;
            while let Some(argument) = arguments.next()? {
                if argument != Long("dev") {
                    return Err(argument.unexpected().into());
                }
                purpose = Purpose::Development;
            }
            let toolchain = setup::set_up(&places, Readiness::Build)?;
            let dist = web::build(&places, toolchain, purpose)?;
            for (path, size) in web::first_load(&dist)? {
                tools::say(format!("{size:>9}  {}", path.display()));
            }
            Ok(())
        }
        Some(other) => Err(other.unexpected().into()),
        None => {
            println!("{HELP}");
            Ok(())
        }
    }
}
