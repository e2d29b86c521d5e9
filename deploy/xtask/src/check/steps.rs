//! The list of checks. A new one is an entry here and a function below.

use anyhow::{Result, bail};

use super::{Step, Surroundings};
use crate::axe;
use crate::helpers::Helper;
use crate::program;
use crate::setup::Readiness;
use crate::toolchain::WasmToolchain;
use crate::tools::{cargo, run, say};
use crate::web::{self, Purpose};

/// What phones on a garden's reception may be asked to load before the first screen works, compressed.
const FIRST_LOAD_LIMIT: u64 = 600_000;

/// All steps, in the order they run.
pub(super) const STEPS: [Step; 13] = [
    Step {
        name: "format",
        what: "the layout of the code",
        run: format,
    },
    Step {
        name: "core",
        what: "tests of the rules",
        run: core,
    },
    Step {
        name: "examples",
        what: "examples in the documentation of the rules",
        run: examples,
    },
    Step {
        name: "lints",
        what: "everything but the browser",
        run: lints,
    },
    Step {
        name: "lints-web",
        what: "the client, as the browser gets it",
        run: lints_web,
    },
    Step {
        name: "tests",
        what: "layers, permissions, simulation, service, old documents",
        run: tests,
    },
    Step {
        name: "dependencies",
        what: "who may use what, licences, sources",
        run: dependencies,
    },
    Step {
        name: "unused",
        what: "dependencies that nothing uses",
        run: unused,
    },
    Step {
        name: "spelling",
        what: "the words",
        run: spelling,
    },
    Step {
        name: "docs",
        what: "links in the documentation",
        run: docs,
    },
    Step {
        name: "program",
        what: "the client and the program that carries it",
        run: build_program,
    },
    Step {
        name: "first-load",
        what: "what a phone loads before its first screen works",
        run: first_load,
    },
    Step {
        name: "browser",
        what: "the built program in Chromium",
        run: browser,
    },
];

fn format(at: &Surroundings) -> Result<()> {
    run(cargo(&at.places).args(["fmt", "--all", "--check"]))
}

fn core(at: &Surroundings) -> Result<()> {
    run(cargo(&at.places).args(["test", "--package", "selion-core", "--lib", "--tests"]))
}

fn examples(at: &Surroundings) -> Result<()> {
    run(cargo(&at.places).args(["test", "--package", "selion-core", "--doc"]))
}

fn lints(at: &Surroundings) -> Result<()> {
    run(cargo(&at.places)
        .args(["clippy", "--workspace", "--all-targets"])
        .args(["--features", "selion-tests/browser"])
        .args(["--", "-D", "warnings"]))
}

fn lints_web(at: &Surroundings) -> Result<()> {
    let package = ["--package", "selion-client", "--all-features"];
    match at.toolchain {
        WasmToolchain::Same => run(at
            .toolchain
            .cargo(&at.places, "clippy")
            .args(package)
            .args(["--", "-D", "warnings"])),
        WasmToolchain::Debian => {
            say(
                "lints-web: this compiler for the browser brings no clippy; the compiler's own warnings are checked",
            );
            run(at
                .toolchain
                .cargo(&at.places, "check")
                .args(package)
                .env("RUSTFLAGS", "-D warnings"))
        }
    }
}

fn tests(at: &Surroundings) -> Result<()> {
    run(cargo(&at.places).args(["test", "--workspace", "--exclude", "selion-core"]))
}

fn dependencies(at: &Surroundings) -> Result<()> {
    run(Helper::DENY
        .command(&at.places)?
        .args(["check", "--hide-inclusion-graph"])
        .args(["bans", "licenses", "sources"]))
}

fn unused(at: &Surroundings) -> Result<()> {
    let folders = ["client", "core", "deploy", "server", "tests"];
    run(Helper::MACHETE.command(&at.places)?.args(folders))
}

fn spelling(at: &Surroundings) -> Result<()> {
    run(&mut Helper::TYPOS.command(&at.places)?)
}

fn docs(at: &Surroundings) -> Result<()> {
    run(cargo(&at.places)
        .args([
            "doc",
            "--no-deps",
            "--document-private-items",
            "--workspace",
        ])
        .env("RUSTDOCFLAGS", "-D warnings"))
}

fn build_program(at: &Surroundings) -> Result<()> {
    program::build(&at.places, Readiness::Check).map(drop)
}

fn first_load(at: &Surroundings) -> Result<()> {
    let dist = web::build(&at.places, at.toolchain, Purpose::Release)?;
    let total = web::tell_first_load(&dist)?;
    if total > FIRST_LOAD_LIMIT {
        bail!("the first screen needs {total} bytes, and the limit is {FIRST_LOAD_LIMIT}");
    }
    Ok(())
}

fn browser(at: &Surroundings) -> Result<()> {
    let program = program::build(&at.places, Readiness::Check)?;
    run(cargo(&at.places)
        .args(["test", "--package", "selion-tests", "--features", "browser"])
        .args(["browser::", "--", "--test-threads=1"])
        .env("SELION_PROGRAM", program)
        .env("SELION_AXE", axe::script(&at.places)?))
}
