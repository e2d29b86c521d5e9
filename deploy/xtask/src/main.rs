//! The tasks behind `cargo xtask`: from a clone to a checked, running, packed service.
#![expect(
    clippy::print_stdout,
    reason = "a command-line tool tells its user what it does"
)]

mod axe;
mod check;
mod command_line;
mod debian_rust;
mod helpers;
mod measure;
mod packages;
mod program;
mod setup;
mod toolchain;
mod tools;
mod web;

use std::process::ExitCode;

use anyhow::Result;

use command_line::Task;
use tools::Places;

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(trouble) => {
            tools::say(format!("{trouble:#}"));
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<()> {
    let task = Task::read(std::env::args_os().skip(1))?;
    let places = Places::find()?;
    match task {
        Task::Help => {
            println!("{}", command_line::HELP);
            Ok(())
        }
        Task::Setup(readiness) => setup::set_up(&places, readiness).map(drop),
        Task::Web(purpose) => {
            let toolchain = setup::set_up(&places, setup::Readiness::Build)?;
            web::build(&places, toolchain, purpose).map(drop)
        }
        Task::Run { port, data } => program::demonstrate(&places, port, data),
        Task::Check(selection) => check::check(&places, &selection),
        Task::Bench => measure::bench(&places),
        Task::Soak { seeds, first } => measure::soak(&places, seeds, first),
        Task::Pack => program::pack(&places),
    }
}
