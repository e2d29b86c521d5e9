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
}

const NEEDS: [Need; 3] = [
    Need {
        programs: &["cc", "gcc", "clang"],
        package: "build-essential",
        what_for: "SQLite is compiled from C",
        only_to_check: false,
    },
    Need {
        programs: &["chromium", "chromium-browser", "google-chrome"],
        package: "chromium",
        what_for: "the browser tests drive it",
        only_to_check: true,
    },
    Need {
        programs: &["chromedriver"],
        package: "chromium-driver",
        what_for: "the browser tests speak to Chromium through it",
        only_to_check: true,
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
        packages::install(&[need.package])?;
    }
    WasmToolchain::find(places)
}
