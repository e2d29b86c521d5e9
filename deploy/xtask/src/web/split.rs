//! The program in several files: what the first screens need, and what is loaded later.
//!
//! `client/src/later.rs` marks a function as the way into what comes later. Whatever is reached through it alone, code
//! and data, is cut out of the program into a file of its own; the rest is the main file, which wasm-bindgen then binds.

use std::fs;
use std::path::Path;

use anyhow::{Context as _, Result, anyhow};
use wasm_bindgen_cli_support::Bindgen;
use wasm_encoder::{Module, RawSection};
use wasm_split_cli_support::{Options, transform};
use wasmparser::Parser;

use super::empty;

/// What the linker has to leave in the program, so that it can be cut: where every address in it comes from.
pub(super) const LINKED_FOR_CUTTING: [&str; 1] = ["-Clink-arg=--emit-relocs"];

/// The module that wasm-bindgen writes.
pub(super) const MODULE: &str = "app.js";
/// The main file, as wasm-bindgen writes it.
pub(super) const PROGRAM: &str = "app_bg.wasm";
/// The module that loads the later files; it and `MODULE` name each other.
const LOADER: &str = "./later.js";
/// The main file before it is bound.
const UNBOUND: &str = "unbound.wasm";
/// How the names of later files begin: one for each mark, and one for what several of them share.
const LATER: [&str; 2] = ["split_", "chunk_"];
/// What the page asks for once the program runs, and the pictures that only the phone's home screen shows.
const NEVER_FIRST: [&str; 3] = ["service_worker.js", "selion-192.png", "selion-512.png"];

/// Whether a file of the site is not asked for before the first screen stands.
pub(super) fn comes_later(path: &Path) -> bool {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    LATER.iter().any(|start| name.starts_with(start)) || NEVER_FIRST.contains(&&*name)
}

/// Cuts the program and writes the modules that carry JavaScript's values to it and back.
pub(super) fn cut_and_bind(compiled: &Path, bound: &Path) -> Result<()> {
    empty(bound)?;
    let program =
        fs::read(compiled).with_context(|| format!("{} cannot be read", compiled.display()))?;
    let unbound = bound.join(UNBOUND);
    let mut options = Options::new(&program);
    options.output_dir = bound;
    options.main_out_path = &unbound;
    options.link_name = LOADER;
    let module = format!("./{MODULE}");
    options.main_module = &module;
    let cut = transform(options)
        .map_err(|trouble| anyhow!("{trouble:#}"))
        .with_context(|| format!("{} could not be cut", compiled.display()))?;
    for later in cut.split_modules {
        drop_names(&later).with_context(|| format!("{} is not as expected", later.display()))?;
    }
    bind(&unbound, bound)?;
    fs::remove_file(&unbound).with_context(|| format!("{} cannot be removed", unbound.display()))
}

fn bind(unbound: &Path, bound: &Path) -> Result<()> {
    Bindgen::new()
        .input_path(unbound)
        .out_name("app")
        .web(true)?
        .typescript(false)
        .omit_default_module_path(true)
        // The later files find the main file's memory and stack by these.
        .keep_lld_exports(true)
        .remove_name_section(true)
        .remove_producers_section(true)
        .generate(bound)
        .with_context(|| format!("wasm-bindgen could not read {}", unbound.display()))
}

/// Takes out what only people read, the names of functions before all; wasm-bindgen does that for the main file.
fn drop_names(later: &Path) -> Result<()> {
    const CUSTOM: u8 = 0;
    let program = fs::read(later)?;
    let mut kept = Module::new();
    for part in Parser::new(0).parse_all(&program) {
        if let Some((id, range)) = part?.as_section()
            && id != CUSTOM
        {
            let place = usize::try_from(range.start)?..usize::try_from(range.end)?;
            let data = program.get(place).context("a section is cut short")?;
            kept.section(&RawSection { id, data });
        }
    }
    Ok(fs::write(later, kept.finish())?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_loaded_first_and_later_is_told_by_its_name() {
        let later = |path: &str| comes_later(Path::new(path));
        assert!(later("assets/program-0123456789abcdef/split_later.wasm"));
        assert!(later("assets/program-0123456789abcdef/chunk_3.wasm"));
        assert!(later("icons/selion-512.png") && later("service_worker.js"));
        assert!(!later("assets/program-0123456789abcdef/app_bg.wasm"));
        assert!(!later("assets/program-0123456789abcdef/later.js"));
    }

    #[test]
    fn names_are_dropped_and_the_rest_stays() {
        let mut program = Module::new();
        let mut types = wasm_encoder::TypeSection::new();
        types.ty().function([], []);
        program.section(&types);
        let bare = program.clone().finish();
        program.section(&wasm_encoder::CustomSection {
            name: "name".into(),
            data: b"soil".into(),
        });
        let place = std::env::temp_dir().join(format!("selion-names-{}", std::process::id()));
        fs::write(&place, program.finish()).unwrap();
        let dropped = drop_names(&place);
        let left = fs::read(&place).unwrap();
        fs::remove_file(&place).unwrap();
        dropped.unwrap();
        assert_eq!(left, bare);
    }
}
