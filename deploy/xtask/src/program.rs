//! The program `selion` with the client inside: built, started with the demonstration garden, packed.

use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context as _, Result};

use crate::setup::{Readiness, set_up};
use crate::tools::{Places, cargo, run, say, sha256};
use crate::web::{self, Purpose};

/// Builds the client, then the release program that carries it, and gives the program's path.
pub(crate) fn build(places: &Places, readiness: Readiness) -> Result<PathBuf> {
    let toolchain = set_up(places, readiness)?;
    let dist = web::build(places, toolchain, Purpose::Release)?;
    say("server: compiling the program `selion` (minutes the first time)");
    // The server's build script embeds the files of this folder.
    run(cargo(places)
        .args(["build", "--release", "--package", "selion-server"])
        .env("SELION_WEB_DIR", &dist))?;
    Ok(places.release_program())
}

/// Starts the service with an invented garden. The program prints the links to sign in with.
pub(crate) fn demonstrate(places: &Places, port: u16, data: Option<PathBuf>) -> Result<()> {
    let program = build(places, Readiness::Build)?;
    let mut service = Command::new(program);
    service.args(["demo", "--port", &port.to_string()]);
    // Without a folder the program makes a temporary one, and removes it when it ends.
    if let Some(folder) = data {
        service.arg("--data").arg(folder);
    }
    become_it(&mut service)
}

/// Puts the program and its check sum into `target/pack`.
pub(crate) fn pack(places: &Places) -> Result<()> {
    let program = build(places, Readiness::Build)?;
    let folder = places.target.join("pack");
    fs::create_dir_all(&folder).with_context(|| format!("{} cannot be made", folder.display()))?;
    let packed = folder.join(format!("selion{}", env::consts::EXE_SUFFIX));
    fs::copy(&program, &packed)
        .with_context(|| format!("{} cannot be copied", program.display()))?;
    let content =
        fs::read(&packed).with_context(|| format!("{} cannot be read", packed.display()))?;
    let sum = write_check_sum(&packed, &content)?;
    say(format!(
        "pack: {} ({} KB)",
        packed.display(),
        content.len().div_ceil(1000)
    ));
    say(format!("pack: SHA-256 {sum}"));
    Ok(())
}

/// Writes `NAME.sha256` in the form that `sha256sum --check` reads.
fn write_check_sum(packed: &Path, content: &[u8]) -> Result<String> {
    let sum = sha256(content);
    let name = packed.file_name().unwrap_or_default().to_string_lossy();
    let place = packed.with_file_name(format!("{name}.sha256"));
    fs::write(&place, format!("{sum}  {name}\n"))
        .with_context(|| format!("{} cannot be written", place.display()))?;
    Ok(sum)
}

/// Turns this process into the other one, so that whoever stops us stops it.
#[cfg(unix)]
fn become_it(program: &mut Command) -> Result<()> {
    use std::os::unix::process::CommandExt as _;
    let trouble = program.exec();
    Err(trouble)
        .with_context(|| format!("`{}` could not be started", crate::tools::written(program)))
}

/// Elsewhere the other one is waited for; a console's Ctrl-C reaches both.
#[cfg(not(unix))]
fn become_it(program: &mut Command) -> Result<()> {
    run(program)
}
