//! The program `selion`: the command line over the service.

use std::io::Write as _;
use std::process::ExitCode;

use clap::Parser as _;
use selion_server::cli::{CommandLine, run};

fn main() -> ExitCode {
    let command = CommandLine::parse();
    let mut out = std::io::stdout();
    match run(command, &mut out) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            // With nowhere to complain there is nothing left to do but to fail.
            let _nowhere = writeln!(std::io::stderr(), "selion: {error}");
            ExitCode::from(error.exit_status())
        }
    }
}
