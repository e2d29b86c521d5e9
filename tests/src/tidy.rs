//! Holds the code to what DEVELOPERS.md says of it: layers, folders that keep something to themselves, the map, and that
//! every file says what it is for. It reads the sources as text, so it is quick and can be wrong only towards strictness.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The layers of core, lowest first; a module may name only those before it, and its own.
const LAYERS: &[&[&str]] = &[
    &["ordered"],
    &["json"],
    &["quantities"],
    &["geometry"],
    &["reckoning"],
    // Doses and loads of compost are cut up by the rules of fair division, so those stand below.
    &["shares"],
    &["soil", "season", "work"],
    &["topics", "document"],
    &["policy", "exchange"],
    &["sync"],
];

/// What only one folder may name.
const KEPT_TO: &[(&str, &str, &str)] = &[
    ("automerge::", "core/src/", "core/src/document/stored/"),
    ("web_sys", "client/src/", "client/src/browser/"),
    ("js_sys", "client/src/", "client/src/browser/"),
    ("rusqlite", "server/src/", "server/src/store/"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Every Rust source of the five crates, with its path from the top and its text.
fn sources() -> Vec<(String, String)> {
    let root = root();
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> = ["core", "server", "client", "tests", "deploy"]
        .iter()
        .map(|name| root.join(name))
        .collect();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let name = path
                    .strip_prefix(&root)
                    .unwrap()
                    .to_string_lossy()
                    .replace('\\', "/");
                found.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    assert!(
        found.len() > 100,
        "the sources were not found: {}",
        found.len()
    );
    found
}

/// The code of a file: without comments, so that a word in a sentence is no use of it.
fn code(text: &str) -> String {
    text.lines()
        .map(|line| line.split("//").next().unwrap_or_default())
        .collect::<Vec<_>>()
        .join("\n")
}

fn layer_of(module: &str) -> Option<usize> {
    LAYERS.iter().position(|layer| layer.contains(&module))
}

/// The modules of core that a text names as `crate::…`.
fn named_modules(code: &str) -> BTreeSet<String> {
    code.split("crate::")
        .skip(1)
        .map(|rest| {
            rest.chars()
                .take_while(|c| c.is_alphanumeric() || *c == '_')
                .collect::<String>()
        })
        .filter(|name| !name.is_empty())
        .collect()
}

#[test]
fn each_module_of_core_uses_only_those_before_it() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let Some(inside) = path.strip_prefix("core/src/") else {
            continue;
        };
        let module = inside.split(['/', '.']).next().unwrap();
        if module == "lib" {
            continue;
        }
        let own = layer_of(module).unwrap_or_else(|| {
            panic!("{path}: the module {module} has no layer; add it to LAYERS")
        });
        for other in named_modules(&code(&text)) {
            let Some(layer) = layer_of(&other) else {
                wrong.push(format!(
                    "{path} names crate::{other}, which is no module with a layer"
                ));
                continue;
            };
            // Modules side by side in a layer do not know each other, but for topics, which walk all the arithmetic.
            let allowed = other == module || layer < own;
            if !allowed {
                wrong.push(format!(
                    "{path} names crate::{other}, which stands above or beside it"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn some_folders_keep_something_to_themselves() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let code = code(&text);
        for (word, within, only) in KEPT_TO {
            if path.starts_with(within) && !path.starts_with(only) && code.contains(word) {
                wrong.push(format!(
                    "{path} names {word}, which belongs into {only} alone"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_begins_with_what_it_is_for() {
    let silent: Vec<String> = sources()
        .into_iter()
        .filter(|(_, text)| !text.trim_start().starts_with("//!"))
        .map(|(path, _)| path)
        .collect();
    assert!(
        silent.is_empty(),
        "these files do not open with //!:\n{}",
        silent.join("\n")
    );
}

#[test]
fn nothing_is_left_half_said() {
    // Put together here, so that this file does not find itself.
    let words = [
        ["TO", "DO"].concat(),
        ["FIX", "ME"].concat(),
        ["todo", "!("].concat(),
        ["unimplemented", "!("].concat(),
    ];
    let mut left = Vec::new();
    for (path, text) in sources() {
        for (number, line) in text.lines().enumerate() {
            if words.iter().any(|word| line.contains(word.as_str())) {
                left.push(format!("{path}:{}: {}", number + 1, line.trim()));
            }
        }
    }
    assert!(left.is_empty(), "{}", left.join("\n"));
}

#[test]
fn every_screen_is_listed_and_has_its_address() {
    let screens = root().join("client/src/screens");
    let list = fs::read_to_string(screens.join("mod.rs")).unwrap();
    let mut missing = Vec::new();
    for entry in fs::read_dir(&screens).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        if name != "mod" && !list.contains(&format!("mod {name};")) {
            missing.push(name);
        }
    }
    assert!(
        missing.is_empty(),
        "screens without a line in screens/mod.rs: {missing:?}"
    );
}

#[test]
fn the_map_of_the_contributors_guide_names_folders_that_exist() {
    let guide = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let mapped: Vec<&str> = guide
        .lines()
        .filter_map(|line| line.strip_prefix("| `"))
        .filter_map(|line| line.split_once("` |"))
        .map(|(path, _)| path)
        .collect();
    assert!(mapped.len() > 10, "the map was not found");
    for path in &mapped {
        assert!(
            root().join(path).exists(),
            "DEVELOPERS.md names {path}, which is not there"
        );
    }
    // And the other way round: every folder of core stands on the map.
    for entry in fs::read_dir(root().join("core/src")).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            let name = format!("core/src/{}/", path.file_name().unwrap().to_string_lossy());
            assert!(
                mapped.contains(&name.as_str()),
                "DEVELOPERS.md does not name {name}"
            );
        }
    }
}

#[test]
fn no_text_names_a_machine() {
    let mut wrong = Vec::new();
    let paths = [
        ["/ro", "ot/"].concat(),
        ["/wo", "rk/"].concat(),
        ["/ho", "me/"].concat(),
    ];
    for (path, text) in sources() {
        for word in &paths {
            if text.contains(word.as_str()) {
                wrong.push(format!("{path} names {word}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
