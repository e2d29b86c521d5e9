//! Programs that check for us and are not part of Rust: built once, at the versions named here.

use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context as _, Result, bail};

use crate::tools::{Places, cargo, forget_this_package, output_of, run, say};

/// A program that `cargo install` builds.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Helper {
    package: &'static str,
    program: &'static str,
    version: &'static str,
}

impl Helper {
    /// Who may use what, licences and sources (`deny.toml`).
    pub(crate) const DENY: Self = Self {
        package: "cargo-deny",
        program: "cargo-deny",
        version: "0.20.2",
    };
    /// Dependencies that nothing uses.
    pub(crate) const MACHETE: Self = Self {
        package: "cargo-machete",
        program: "cargo-machete",
        version: "0.9.2",
    };
    /// Spelling (`_typos.toml`).
    pub(crate) const TYPOS: Self = Self {
        package: "typos-cli",
        program: "typos",
        version: "1.52.0",
    };

    /// The program, built first if it is not there, to be run at the top of the repository.
    pub(crate) fn command(self, places: &Places) -> Result<Command> {
        let program = self.path(places);
        if !self.is_there(&program) {
            self.install(places)?;
        }
        let mut command = Command::new(&program);
        command.current_dir(&places.root);
        forget_this_package(&mut command);
        Ok(command)
    }

    fn path(self, places: &Places) -> PathBuf {
        let name = format!("{}{}", self.program, env::consts::EXE_SUFFIX);
        places.target.join("tools/bin").join(name)
    }

    fn is_there(self, program: &Path) -> bool {
        program.is_file()
            && output_of(Command::new(program).arg("--version"))
                .is_ok_and(|said| said.split_whitespace().any(|word| word == self.version))
    }

    fn install(self, places: &Places) -> Result<()> {
        let Self {
            package, version, ..
        } = self;
        say(format!(
            "setup: building {package} {version} (minutes, this once)"
        ));
        let with = |more: &[&str]| {
            run(cargo(places)
                .args(["install", package, "--version", version])
                .arg("--root")
                .arg(places.target.join("tools"))
                .args(more)
                .env("CARGO_TARGET_DIR", places.target.join("tools/build")))
        };
        if let Err(trouble) = with(&["--locked"]) {
            // A mirror of the registry may lack one of the versions that the package was locked to.
            say(format!(
                "setup: {trouble:#}; once more with the newest versions that fit"
            ));
            with(&[]).with_context(|| {
                format!("{package} is needed for this step: `cargo install {package} --version {version}`")
            })?;
        }
        if !self.is_there(&self.path(places)) {
            bail!("{package} was installed, but is not version {version}");
        }
        Ok(())
    }
}
