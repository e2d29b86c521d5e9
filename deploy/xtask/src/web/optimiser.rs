//! `wasm-opt`, which makes the program smaller where it is installed. The build works without.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::tools::{on_path, output_of, say};

/// Versions before 111 export the first table under the name of the second, so that the program
/// does not start; Debian 12 carries 108.
const MINIMUM: u32 = 111;

/// The features of WebAssembly that every supported browser has (since Safari 15) and that the
/// compiler uses; named one by one, since `--all-features` of a newer wasm-opt reaches further.
const FEATURES: [&str; 6] = [
    "--enable-bulk-memory",
    "--enable-multivalue",
    "--enable-mutable-globals",
    "--enable-nontrapping-float-to-int",
    "--enable-reference-types",
    "--enable-sign-ext",
];

/// A `wasm-opt` that can be trusted with the program.
pub(super) struct Optimiser {
    program: PathBuf,
    /// What it says of itself; another version makes other files.
    pub(super) version: String,
}

impl Optimiser {
    /// The one on the search path, if it is new enough.
    pub(super) fn find() -> Option<Self> {
        let program = on_path("wasm-opt")?;
        let version = output_of(Command::new(&program).arg("--version")).ok()?;
        if number_in(&version).is_some_and(|number| number >= MINIMUM) {
            return Some(Self { program, version });
        }
        say(format!(
            "web: going on without wasm-opt, as version {MINIMUM} or newer is needed and this is {version}"
        ));
        None
    }

    /// Makes the program smaller in its place. It works as compiled too, so a failure only costs
    /// bytes, and is mentioned.
    pub(super) fn make_smaller(&self, program: &Path) {
        let smaller = program.with_extension("smaller");
        let attempt = output_of(
            Command::new(&self.program)
                .arg("-Oz")
                .args(FEATURES)
                .arg("-o")
                .args([&smaller, program]),
        )
        .and_then(|_| Ok(fs::rename(&smaller, program)?));
        match attempt {
            Ok(()) => say("web: made smaller by wasm-opt"),
            Err(trouble) => say(format!("web: left as compiled, since {trouble:#}")),
        }
    }
}

/// The version in `wasm-opt version 120 (version_120)`.
fn number_in(version: &str) -> Option<u32> {
    version
        .split_whitespace()
        .find_map(|word| word.parse().ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_version_is_read_from_what_it_says() {
        assert_eq!(number_in("wasm-opt version 108"), Some(108));
        assert_eq!(number_in("wasm-opt version 132 (version_132)"), Some(132));
        assert_eq!(number_in("wasm-opt"), None);
    }
}
