//! What every task needs: where things are, how a program is started, how progress is told.

use std::env;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context as _, Result, bail};
use sha2::{Digest as _, Sha256};

/// The folders that tasks read and write.
#[derive(Debug, Clone)]
pub(crate) struct Places {
    /// The top of the repository.
    pub(crate) root: PathBuf,
    /// Everything that is built goes below this folder.
    pub(crate) target: PathBuf,
}

impl Places {
    /// Found from what `cargo run` tells the program it starts.
    pub(crate) fn find() -> Result<Self> {
        let manifest = env::var_os("CARGO_MANIFEST_DIR")
            .context("this program is started as `cargo xtask`, from anywhere in the repository")?;
        let root = Path::new(&manifest)
            .ancestors()
            .nth(2)
            .context("deploy/xtask is expected two folders below the top of the repository")?
            .to_path_buf();
        let target = match env::var_os("CARGO_TARGET_DIR") {
            Some(folder) => root.join(folder),
            None => root.join("target"),
        };
        Ok(Self { root, target })
    }

    /// What belongs to the browser: the client's own target folder, and the finished files.
    pub(crate) fn web(&self) -> PathBuf {
        self.target.join("web")
    }

    /// The program `selion` as a release build leaves it.
    pub(crate) fn release_program(&self) -> PathBuf {
        let name = format!("selion{}", env::consts::EXE_SUFFIX);
        self.target.join("release").join(name)
    }
}

/// Tells the person who waits what is happening now.
pub(crate) fn say(line: impl AsRef<str>) {
    println!("xtask: {}", line.as_ref());
}

/// The cargo that started us, to be run at the top of the repository.
pub(crate) fn cargo(places: &Places) -> Command {
    let program = env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut command = Command::new(program);
    command.current_dir(&places.root);
    forget_this_package(&mut command);
    command
}

/// Takes out of a command's environment what `cargo run` put there about this package: a build
/// script that watches these names would otherwise run again at each change of caller.
pub(crate) fn forget_this_package(command: &mut Command) {
    for (name, _) in env::vars_os() {
        let Some(text) = name.to_str() else { continue };
        if text.starts_with("CARGO_PKG_")
            || matches!(
                text,
                "CARGO_MANIFEST_DIR" | "CARGO_MANIFEST_PATH" | "CARGO_BIN_NAME"
            )
        {
            command.env_remove(&name);
        }
    }
}

/// Runs a command with its output shown, and fails if it does.
pub(crate) fn run(command: &mut Command) -> Result<()> {
    let status = command
        .status()
        .with_context(|| format!("`{}` could not be started", written(command)))?;
    if !status.success() {
        bail!("`{}` ended with {status}", written(command));
    }
    Ok(())
}

/// Runs a command quietly and gives what it printed; fails with what it complained about.
pub(crate) fn output_of(command: &mut Command) -> Result<String> {
    let output = command
        .stdin(Stdio::null())
        .output()
        .with_context(|| format!("`{}` could not be started", written(command)))?;
    if !output.status.success() {
        let complaint = String::from_utf8_lossy(&output.stderr);
        bail!(
            "`{}` ended with {}: {}",
            written(command),
            output.status,
            complaint.trim()
        );
    }
    Ok(String::from_utf8_lossy(&output.stdout).trim().to_owned())
}

/// A command as a person would type it.
pub(crate) fn written(command: &Command) -> String {
    std::iter::once(command.get_program())
        .chain(command.get_args())
        .map(OsStr::to_string_lossy)
        .collect::<Vec<_>>()
        .join(" ")
}

/// Where a program stands on the search path, if it is there.
pub(crate) fn on_path(program: &str) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    env::split_paths(&path)
        .map(|folder| folder.join(format!("{program}{}", env::consts::EXE_SUFFIX)))
        .find(|candidate| candidate.is_file())
}

/// SHA-256 in lower-case hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    use std::fmt::Write as _;
    Sha256::digest(bytes)
        .iter()
        .fold(String::with_capacity(64), |mut text, byte| {
            // Writing to a string has no way to fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_check_sum_is_the_one_of_the_standard() {
        // FIPS 180-4 example: SHA-256 of "abc".
        assert_eq!(
            sha256(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn a_command_reads_as_it_is_typed() {
        let mut command = Command::new("cargo");
        command.args(["test", "-p", "selion-core"]);
        assert_eq!(written(&command), "cargo test -p selion-core");
    }

    #[test]
    fn a_failing_program_is_named() {
        let mut command = Command::new("false");
        let said = run(&mut command).unwrap_err().to_string();
        assert!(said.starts_with("`false` ended with "), "{said}");
    }
}
