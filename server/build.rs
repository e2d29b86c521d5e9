//! Embeds the client's built files: the folder named by `SELION_WEB_DIR`, or nothing when it is not set.
//!
//! `NAME.br` and `NAME.gz` beside a file are its compressed forms and are served in its place.

use std::collections::BTreeSet;
use std::error::Error;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

const FOLDER: &str = "SELION_WEB_DIR";

fn main() -> Result<(), Box<dyn Error>> {
    println!("cargo::rerun-if-env-changed={FOLDER}");
    let mut table = String::from("static FILES: &[File] = &[\n");
    if let Some(folder) = env::var_os(FOLDER).map(PathBuf::from) {
        println!("cargo::rerun-if-changed={}", folder.display());
        let mut files = BTreeSet::new();
        collect(&folder, &mut files)?;
        for file in files
            .iter()
            .filter(|file| !is_compressed_form(file, &files))
        {
            let path = file
                .strip_prefix(&folder)?
                .to_string_lossy()
                .replace('\\', "/");
            let form = |ending: &str| match with_ending(file, ending) {
                beside if files.contains(&beside) => {
                    format!("Some(include_bytes!({}))", literal(&beside))
                }
                _ => "None".to_owned(),
            };
            let (brotli, gzip) = (form("br"), form("gz"));
            writeln!(
                table,
                "File {{ path: {path:?}, bytes: include_bytes!({}), brotli: {brotli}, gzip: {gzip} }},",
                literal(file)
            )?;
        }
    }
    table.push_str("];\n");
    fs::write(
        Path::new(&env::var("OUT_DIR")?).join("client_files.rs"),
        table,
    )?;
    Ok(())
}

fn collect(folder: &Path, files: &mut BTreeSet<PathBuf>) -> Result<(), Box<dyn Error>> {
    let entries =
        fs::read_dir(folder).map_err(|error| format!("{FOLDER}={}: {error}", folder.display()))?;
    for entry in entries {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            collect(&entry.path(), files)?;
        } else {
            files.insert(entry.path());
        }
    }
    Ok(())
}

/// A path as Rust writes text.
fn literal(path: &Path) -> String {
    format!("{:?}", path.to_string_lossy())
}

fn with_ending(file: &Path, ending: &str) -> PathBuf {
    let mut name = file.as_os_str().to_owned();
    name.push(".");
    name.push(ending);
    name.into()
}

fn is_compressed_form(file: &Path, files: &BTreeSet<PathBuf>) -> bool {
    let compressed = file
        .extension()
        .is_some_and(|ending| ending == "br" || ending == "gz");
    compressed && files.contains(&file.with_extension(""))
}
