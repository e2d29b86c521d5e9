//! The compiler for the browser: which one is used on this machine, and how it is called.
//!
//! `wasm32-unknown-unknown` needs a standard library that a plain toolchain does not bring. It is
//! looked for in three ways, in this order:
//!
//! 1. it is there already;
//! 2. `rustup target add` gets it;
//! 3. the distribution's own Rust, installed beside rustup's and left alone by it, builds the
//!    standard library from its sources together with the client.
//!
//! `SELION_WASM=debian` goes straight to the third way, so that it can be tried on any machine.

use std::env;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context as _, Result};

use crate::debian_rust;
use crate::tools::{Places, cargo, forget_this_package, output_of, run, say};

/// The target that browsers run.
pub(crate) const TARGET: &str = "wasm32-unknown-unknown";

/// Set, it lets a stable compiler do what it hides from those who want nothing to change under them.
const HIDDEN: &str = "RUSTC_BOOTSTRAP";

/// The compiler that makes the client.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum WasmToolchain {
    /// The one that everything else is built with.
    Same,
    /// The distribution's, below `/usr/bin`.
    Debian,
}

impl WasmToolchain {
    /// Finds or gets a compiler for the browser.
    pub(crate) fn find(places: &Places) -> Result<Self> {
        let only_debian = env::var("SELION_WASM").is_ok_and(|way| way == "debian");
        if !only_debian {
            if standard_library_is_there(places) {
                return Ok(Self::Same);
            }
            say(format!("setup: rustup target add {TARGET}"));
            let added = run(Command::new("rustup")
                .args(["target", "add", TARGET])
                .current_dir(&places.root));
            match added {
                Ok(()) if standard_library_is_there(places) => return Ok(Self::Same),
                Ok(()) => say("setup: rustup added it to another toolchain than the one in use"),
                Err(trouble) => say(format!("setup: {trouble:#}")),
            }
            say("setup: trying the distribution's own Rust for the browser instead");
        }
        debian_rust::install().with_context(|| {
            format!(
                "there is no compiler for {TARGET}; install one with `rustup target add {TARGET}`"
            )
        })?;
        Ok(Self::Debian)
    }

    /// `cargo SUBCOMMAND` for the browser, to which packages and a profile are added.
    pub(crate) fn cargo(self, places: &Places, subcommand: &str) -> Command {
        let mut command = match self {
            Self::Same => cargo(places),
            Self::Debian => debian_cargo(places),
        };
        command
            .arg(subcommand)
            .args(["--target", TARGET])
            .env("CARGO_TARGET_DIR", self.target_folder(places));
        if self == Self::Debian {
            command.arg("-Zbuild-std=std,panic_abort");
        }
        command
    }

    /// Has the compiler leave something out, by flags that stable compilers know but hide. A compiler that no longer knows
    /// them builds all the same, and something larger.
    pub(crate) fn leave_out(self, places: &Places, command: &mut Command, flags: &[&str]) {
        let mut compiler = self.compiler(places);
        compiler.env(HIDDEN, "1").args(flags);
        if let Err(trouble) = output_of(compiler.args(["--print", "sysroot"])) {
            say(format!(
                "web: the program is larger than need be: {trouble:#}"
            ));
            return;
        }
        let flags = flags.join("\",\"");
        command
            .env(HIDDEN, "1")
            .arg("--config")
            .arg(format!("target.{TARGET}.rustflags=[\"{flags}\"]"));
    }

    fn compiler(self, places: &Places) -> Command {
        match self {
            Self::Same => rustc(places),
            Self::Debian => Command::new(debian_rust::COMPILER),
        }
    }

    /// A folder for each compiler, so that they do not throw away each other's work.
    pub(crate) fn target_folder(self, places: &Places) -> PathBuf {
        match self {
            Self::Same => places.web(),
            Self::Debian => places.target.join("web-debian"),
        }
    }

    /// Words that change when the compiler does.
    pub(crate) fn version(self, places: &Places) -> Result<String> {
        output_of(self.compiler(places).arg("-vV"))
    }
}

/// The distribution's cargo with the distribution's compiler, and nothing of rustup's around it.
fn debian_cargo(places: &Places) -> Command {
    let mut command = Command::new(debian_rust::CARGO);
    command.current_dir(&places.root);
    forget_this_package(&mut command);
    command
        // Building the standard library is one of the things that stable compilers hide.
        .env(HIDDEN, "1")
        .env("RUSTC", debian_rust::COMPILER)
        .env_remove("CARGO")
        .env_remove("RUSTUP_TOOLCHAIN")
        .env_remove("RUSTC_WRAPPER")
        // `cargo run` points this at the libraries of the other compiler.
        .env_remove("LD_LIBRARY_PATH");
    command
}

fn standard_library_is_there(places: &Places) -> bool {
    output_of(rustc(places).args(["--print", "target-libdir", "--target", TARGET]))
        .is_ok_and(|folder| Path::new(&folder).is_dir())
}

/// The compiler that stands beside the cargo in use.
fn rustc(places: &Places) -> Command {
    let mut command = Command::new(env::var_os("RUSTC").unwrap_or_else(|| "rustc".into()));
    command.current_dir(&places.root);
    command
}
