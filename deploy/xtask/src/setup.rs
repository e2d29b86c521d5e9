//! What a machine needs before anything can be built or checked, found or fetched.

use anyhow::Result;

use crate::packages;
use crate::toolchain::WasmToolchain;
use crate::tools::{Places, on_path, say};

/// What the machine is made ready for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Readiness {
    /// Building and running the service.
    Build,
    /// All checks, those in a browser included.
    Check,
}

/// A program of the system, and the package that brings it.
struct Need {
    /// Any of these will do.
    programs: &'static [&'static str],
    package: &'static str,
    what_for: &'static str,
    only_to_check: bool,
    can_do_without: bool,
}

const NEEDS: [Need; 4] = [
    Need {
        programs: &["cc", "gcc", "clang"],
        package: "build-essential",
        what_for: "SQLite is compiled from C",
        only_to_check: false,
        can_do_without: false,
    },
    Need {
        programs: &["chromium", "chromium-browser", "google-chrome"],
        package: "chromium",
        what_for: "the browser tests drive it",
        only_to_check: true,
        can_do_without: false,
    },
    Need {
        programs: &["chromedriver"],
        package: "chromium-driver",
        what_for: "the browser tests speak to Chromium through it",
        only_to_check: true,
        can_do_without: false,
    },
    Need {
        programs: &["wasm-opt"],
        package: "binaryen",
        what_for: "it makes the program for the browser smaller",
        only_to_check: true,
        can_do_without: true,
    },
];

/// Makes the machine ready and gives the compiler for the browser.
pub(crate) fn set_up(places: &Places, readiness: Readiness) -> Result<WasmToolchain> {
    for need in &NEEDS {
        let wanted = readiness == Readiness::Check || !need.only_to_check;
        if !wanted
            || need
                .programs
                .iter()
                .any(|program| on_path(program).is_some())
        {
            continue;
        }
        say(format!(
            "setup: no {} here ({})",
            need.programs.join(" or "),
            need.what_for
        ));
        match packages::install(&[need.package]) {
            Err(trouble) if need.can_do_without => {
                say(format!("setup: going on without: {trouble:#}"));
            }
            outcome => outcome?,
        }
    }
    WasmToolchain::find(places)
}
