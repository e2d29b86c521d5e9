//! Debian's own Rust, for machines whose rustup reaches no network: which packages, and whether
//! they are there. All of it sits below `/usr/bin`, beside a toolchain of rustup's.

use std::path::Path;
use std::process::Command;

use anyhow::{Context as _, Result, bail};

use crate::packages;
use crate::tools::output_of;

/// The compiler.
pub(crate) const COMPILER: &str = "/usr/bin/rustc";
/// Its cargo.
pub(crate) const CARGO: &str = "/usr/bin/cargo";
/// The linker for the browser's target, a link to the `lld` of the compiler's own LLVM.
const LINKER: &str = "/usr/bin/rust-lld";

/// The oldest compiler the workspace is written for.
const MINIMUM: &str = env!("CARGO_PKG_RUST_VERSION");

/// The names under which Debian carries a compiler, its cargo, the sources of the standard library,
/// and the linker: newer ones backported for browsers first, then the release's own.
const NAMINGS: [[&str; 4]; 2] = [
    ["rustc-web", "cargo-web", "rust-web-src", "rust-web-llvm"],
    ["rustc", "cargo", "rust-src", "rust-llvm"],
];

/// Sees to it that the compiler, its cargo, its sources and its linker are there.
pub(crate) fn install() -> Result<()> {
    if is_complete() {
        return Ok(());
    }
    packages::refresh()?;
    let [compiler, cargo, sources, linker] = choose(packages::candidate)
        .with_context(|| format!("the distribution's packages hold no Rust {MINIMUM} or newer"))?;
    let lld = linker_of_llvm(&packages::description(linker)?);
    packages::install(&[compiler, cargo, sources, linker, &lld])?;
    if !is_complete() {
        bail!(
            "after installing {compiler} and its companions, {COMPILER}, {CARGO}, {LINKER} and the sources of the standard library are not all there"
        );
    }
    Ok(())
}

/// The first set of names whose compiler is new enough, given how to ask for a package's version.
fn choose(candidate: impl Fn(&str) -> Option<String>) -> Option<[&'static str; 4]> {
    let minimum = Version::read(MINIMUM)?;
    NAMINGS.into_iter().find(|[compiler, ..]| {
        candidate(compiler)
            .and_then(|version| Version::read(&version))
            .is_some_and(|version| version >= minimum)
    })
}

/// `lld-22` where the package's description says that it depends on `llvm-22`.
fn linker_of_llvm(description: &str) -> String {
    description
        .lines()
        .find_map(|line| line.strip_prefix("Depends:"))
        .into_iter()
        .flat_map(|depends| depends.split([',', ' ']))
        .find_map(|package| package.strip_prefix("llvm-"))
        .map_or_else(|| "lld".to_owned(), |major| format!("lld-{major}"))
}

fn is_complete() -> bool {
    let Ok(version) = output_of(Command::new(COMPILER).arg("--version")) else {
        return false;
    };
    let Ok(sysroot) = output_of(Command::new(COMPILER).args(["--print", "sysroot"])) else {
        return false;
    };
    let new_enough = Version::read(&version) >= Version::read(MINIMUM);
    let sources = Path::new(&sysroot).join("lib/rustlib/src/rust/library/std");
    new_enough
        && Path::new(CARGO).is_file()
        // Following the link: without the right lld it leads nowhere.
        && Path::new(LINKER).exists()
        && sources.is_dir()
}

/// A version of the compiler, as far as it matters here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Version {
    major: u32,
    minor: u32,
}

impl Version {
    /// The first `number.number` in a text such as `rustc 1.95.0 (59807616e 2026-04-14)`.
    fn read(text: &str) -> Option<Self> {
        text.split_whitespace().find_map(|word| {
            let (major, rest) = word.split_once('.')?;
            let minor: String = rest.chars().take_while(char::is_ascii_digit).collect();
            Some(Self {
                major: major.parse().ok()?,
                minor: minor.parse().ok()?,
            })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn versions_are_read_from_what_programs_and_packages_say() {
        let version = |major, minor| Some(Version { major, minor });
        assert_eq!(
            Version::read("rustc 1.95.0 (59807616e 2026-04-14)"),
            version(1, 95)
        );
        assert_eq!(Version::read("1.96.0+dfsg1-1~deb12u2"), version(1, 96));
        assert_eq!(Version::read("1.90"), version(1, 90));
        assert_eq!(Version::read("(none)"), None);
        assert!(version(1, 100) > version(1, 95));
    }

    #[test]
    fn the_backported_compiler_is_taken_before_an_old_one() {
        let bookworm = |name: &str| match name {
            "rustc-web" => Some("1.96.0+dfsg1-1~deb12u2".to_owned()),
            "rustc" => Some("1.63.0+dfsg1-2".to_owned()),
            _ => None,
        };
        assert_eq!(choose(bookworm), Some(NAMINGS[0]));
    }

    #[test]
    fn a_release_with_a_current_compiler_needs_no_backport() {
        let later = |name: &str| (name == "rustc").then(|| "1.97.0+dfsg1-1".to_owned());
        assert_eq!(choose(later), Some(NAMINGS[1]));
    }

    #[test]
    fn an_old_compiler_alone_is_no_answer() {
        let old = |name: &str| (name == "rustc").then(|| "1.63.0+dfsg1-2".to_owned());
        assert_eq!(choose(old), None);
    }

    #[test]
    fn the_linker_follows_the_llvm_of_the_compiler() {
        let description = "Package: rust-web-llvm\nDepends: libc6 (>= 2.34), llvm-22\n";
        assert_eq!(linker_of_llvm(description), "lld-22");
        assert_eq!(linker_of_llvm("Package: rust-llvm\n"), "lld");
    }
}
