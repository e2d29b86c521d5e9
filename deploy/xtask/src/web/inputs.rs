//! One hash over everything that the finished files depend on, so that unchanged work is skipped.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};

use super::Purpose;
use crate::toolchain::WasmToolchain;
use crate::tools::{Places, sha256};

/// Folders and files of the repository that end up in the browser or say how they get there.
const SOURCES: [&str; 5] = ["Cargo.lock", "Cargo.toml", "client", "core", "deploy/xtask"];

/// The hash for this purpose and this compiler.
pub(super) fn hash(places: &Places, toolchain: WasmToolchain, purpose: Purpose) -> Result<String> {
    let mut all = vec![purpose.profile().to_owned(), toolchain.version(places)?];
    for path in files_below(&places.root, &SOURCES.map(PathBuf::from))? {
        let content = fs::read(places.root.join(&path))
            .with_context(|| format!("{} cannot be read", path.display()))?;
        all.push(format!("{} {}", path.display(), sha256(&content)));
    }
    Ok(sha256(all.join("\n").as_bytes()))
}

/// All files at or below the given places, relative to `root`, in an order that is always the same.
pub(super) fn files_below(root: &Path, starts: &[PathBuf]) -> Result<Vec<PathBuf>> {
    let mut waiting = starts.to_vec();
    let mut found = Vec::new();
    while let Some(path) = waiting.pop() {
        let whole = root.join(&path);
        if !whole.is_dir() {
            found.push(path);
            continue;
        }
        let entries = fs::read_dir(&whole)
            .with_context(|| format!("the folder {} cannot be read", whole.display()))?;
        for entry in entries {
            let name = entry
                .with_context(|| format!("the folder {} cannot be read", whole.display()))?
                .file_name();
            // Editors leave hidden files behind that belong to nobody's site.
            if !name.to_string_lossy().starts_with('.') {
                waiting.push(path.join(name));
            }
        }
    }
    found.sort();
    Ok(found)
}
