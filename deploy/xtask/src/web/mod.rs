//! The client as files that a browser loads: compiled, cut, bound, named by content, compressed.
//!
//! Everything in `client/` except its Rust sources is a file of the site. A file that another one
//! asks for by a placeholder, its name in capitals, is kept under `/assets/` with a name that holds
//! a hash of its content, so it can be cached for ever; all others (`index.html`,
//! `manifest.webmanifest`, `service_worker.js`, icons) keep their names. The placeholders, in the
//! HTML, CSS, JavaScript and SVG of `client/`, each of which must be one of these:
//!
//! ```text
//! /__STYLE_CSS__       becomes /assets/style-0123456789abcdef.css, and so for any other file
//! /__BOOTSTRAP_JS__    the script that index.html loads, as inline scripts are forbidden
//! /__APP_JS__          the module that wasm-bindgen writes; its default export starts the program
//! /__APP_WASM__        the program: app.default({ module_or_path: "/__APP_WASM__" })
//! __FILES__            in service_worker.js only: a JSON array of the addresses of all other
//!                      files, "/" standing for index.html: const FILES = __FILES__;
//! __BUILD__            in service_worker.js only: 16 hexadecimal digits over all content
//! ```
//!
//! The program itself is several files, of which a phone needs the main one first (`split`). They name each other and
//! stand in one folder, /assets/program-0123456789abcdef/, whose hash is over all of them.
//!
//! Beside each file that compression makes smaller stand the same bytes as `.br` and `.gz`.

mod compress;
mod inputs;
mod names;
mod shrink;
mod site;
mod split;

use std::fs;
use std::path::{Path, PathBuf};

use crate::toolchain::WasmToolchain;
use crate::tools::{Places, run, say};
use anyhow::{Context as _, Result};

/// What a phone need not load: the place in the sources of everything that could panic, and how each type looks to a
/// developer.
const FOR_DEVELOPERS: [&str; 2] = ["-Zlocation-detail=none", "-Zfmt-debug=none"];

/// For whom the client is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Purpose {
    /// For phones: as small as it gets.
    Release,
    /// For the person who is changing it: as soon as possible, neither small nor compressed.
    Development,
}

impl Purpose {
    const fn profile(self) -> &'static str {
        match self {
            Self::Release => "web",
            Self::Development => "web-dev",
        }
    }

    const fn folder(self) -> &'static str {
        match self {
            Self::Release => "dist",
            Self::Development => "dist-dev",
        }
    }
}

/// Builds what has changed and gives the folder of finished files.
pub(crate) fn build(
    places: &Places,
    toolchain: WasmToolchain,
    purpose: Purpose,
) -> Result<PathBuf> {
    let dist = places.web().join(purpose.folder());
    let stamp = places.web().join(format!("{}.stamp", purpose.folder()));
    let inputs = inputs::hash(places, toolchain, purpose)?;
    if dist.is_dir() && fs::read_to_string(&stamp).is_ok_and(|before| before == inputs) {
        say(format!("web: nothing has changed in {}", dist.display()));
        return Ok(dist);
    }

    say("web: compiling the client for the browser (minutes the first time)");
    let compiled = compile(places, toolchain, purpose)?;
    let bound = places.web().join(format!("bound-{}", purpose.profile()));
    split::cut_and_bind(&compiled, &bound)?;
    if purpose == Purpose::Release {
        names::shorten(&bound.join(split::PROGRAM), &bound.join(split::MODULE))?;
    }
    let mut site = site::Site::read(&places.root.join("client"), &bound, purpose)?;
    site.place_all()?;
    let files = site.finish()?;
    // Written beside and then moved, so that nobody ever meets half of it.
    let fresh = places.web().join(format!("{}.new", purpose.folder()));
    write_all(&fresh, &files, purpose)?;
    replace(&fresh, &dist)?;
    fs::write(&stamp, inputs).with_context(|| format!("{} cannot be written", stamp.display()))?;
    say(format!("web: {} files in {}", files.len(), dist.display()));
    Ok(dist)
}

/// Prints what a phone loads before its first screen works, and what it fetches afterwards and keeps, file by file; gives
/// the sum of the first in bytes.
pub(crate) fn tell_first_load(dist: &Path) -> Result<u64> {
    let (later, first): (Vec<_>, Vec<_>) = compress::weigh(dist)?
        .into_iter()
        .partition(|(path, _)| split::comes_later(path));
    let total = tell(&first, "before the first screen works");
    tell(&later, "later, in the background");
    Ok(total)
}

fn tell(files: &[(PathBuf, u64)], when: &str) -> u64 {
    for (path, size) in files {
        say(format!("{size:>9}  {}", path.display()));
    }
    let total = files.iter().map(|(_, size)| size).sum();
    say(format!("{total:>9}  bytes {when}"));
    total
}

/// Compiles the client and gives the path of the program as the compiler left it.
fn compile(places: &Places, toolchain: WasmToolchain, purpose: Purpose) -> Result<PathBuf> {
    let profile = purpose.profile();
    let mut command = toolchain.cargo(places, "rustc");
    if purpose == Purpose::Release {
        toolchain.leave_out(places, &mut command, &FOR_DEVELOPERS);
    }
    run(command
        .args(["--package", "selion-client", "--bin", "selion-client"])
        .args(["--profile", profile, "--"])
        .args(split::LINKED_FOR_CUTTING))?;
    Ok(toolchain
        .target_folder(places)
        .join("wasm32-unknown-unknown")
        .join(profile)
        .join("selion-client.wasm"))
}

fn write_all(folder: &Path, files: &site::Files, purpose: Purpose) -> Result<()> {
    empty(folder)?;
    for (name, content) in files {
        let path = folder.join(name);
        if let Some(parent) = path.parent() {
            fs::create_dir_all(parent)
                .with_context(|| format!("{} cannot be made", parent.display()))?;
        }
        fs::write(&path, content)
            .with_context(|| format!("{} cannot be written", path.display()))?;
        if purpose == Purpose::Release {
            compress::beside(&path, content)?;
        }
    }
    Ok(())
}

/// Makes a folder that is there and empty.
fn empty(folder: &Path) -> Result<()> {
    if folder.exists() {
        fs::remove_dir_all(folder)
            .with_context(|| format!("{} cannot be emptied", folder.display()))?;
    }
    fs::create_dir_all(folder).with_context(|| format!("{} cannot be made", folder.display()))
}

fn replace(fresh: &Path, place: &Path) -> Result<()> {
    if place.exists() {
        fs::remove_dir_all(place)
            .with_context(|| format!("{} cannot be replaced", place.display()))?;
    }
    fs::rename(fresh, place).with_context(|| format!("{} cannot be replaced", place.display()))
}
