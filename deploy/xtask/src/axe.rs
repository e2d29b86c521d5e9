//! axe-core, which looks for what hinders people with a screen reader, a keyboard or weak eyes. A page's script, so it is
//! taken from the registry of its kind, at the version named here and with the content known here; it runs in tests alone.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context as _, Result, bail};

use crate::packages;
use crate::tools::{Places, on_path, run, say, sha256};

const VERSION: &str = "4.14.1";
/// SHA-256 of the script in that version (licence MPL-2.0).
const CONTENT: &str = "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c";
/// The script inside the package.
const SCRIPT: &str = "package/axe.min.js";

/// The path of the script, fetched first if it is not there.
pub(crate) fn script(places: &Places) -> Result<PathBuf> {
    let folder = places.target.join("tools/axe").join(VERSION);
    let script = folder.join(SCRIPT);
    if !is_it(&script) {
        fs::create_dir_all(&folder)
            .with_context(|| format!("{} cannot be made", folder.display()))?;
        fetch(&folder)?;
    }
    if !is_it(&script) {
        bail!("the script of axe-core {VERSION} is not the one whose content is known");
    }
    Ok(script)
}

fn is_it(script: &Path) -> bool {
    fs::read(script).is_ok_and(|content| sha256(&content) == CONTENT)
}

fn fetch(folder: &Path) -> Result<()> {
    if on_path("npm").is_none() {
        say("setup: no npm here (it fetches axe-core for the browser tests)");
        packages::install(&["npm"])?;
    }
    say(format!("setup: fetching axe-core {VERSION}"));
    run(Command::new("npm")
        .current_dir(folder)
        .args(["pack", "--ignore-scripts", "--silent"])
        .arg(format!("axe-core@{VERSION}")))?;
    run(Command::new("tar")
        .current_dir(folder)
        .arg("-xzf")
        .arg(format!("axe-core-{VERSION}.tgz"))
        .arg(SCRIPT))
}
