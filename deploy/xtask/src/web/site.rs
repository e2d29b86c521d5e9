//! The files of the site: which there are, what they are called, and how they name each other.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};

use super::inputs::files_below;
use super::shrink::shrunk;
use super::{Purpose, split};
use crate::tools::sha256;

/// Finished files: path inside the site, without a leading slash, and content.
pub(super) type Files = BTreeMap<String, Vec<u8>>;

const WORKER: &str = "service_worker.js";
const START: &str = "index.html";
const FILES: &str = "__FILES__";
const BUILD: &str = "__BUILD__";

/// What stands in `client/` beside the files of the site.
const NOT_SERVED: [&str; 4] = ["src", "tests", "benches", "Cargo.toml"];

/// The site while its files are given their names.
#[derive(Debug, Default)]
pub(super) struct Site {
    /// As written, by the name that a placeholder uses.
    sources: Files,
    /// Done: by path inside the site.
    placed: Files,
    /// The address each source ended up at.
    addresses: BTreeMap<String, String>,
    /// Sources that are being filled at this moment, outermost first.
    open: Vec<String>,
}

impl Site {
    /// Reads the files of `client/` and those that the compiler and wasm-bindgen made.
    pub(super) fn read(client: &Path, bound: &Path, purpose: Purpose) -> Result<Self> {
        let mut site = Self::default();
        for name in names_in(client)? {
            let first = name.split('/').next().unwrap_or_default();
            if !NOT_SERVED.contains(&first) && !has_ending(&name, "md") {
                site.add(&name, &client.join(&name))?;
            }
        }
        for required in [START, WORKER] {
            if !site.sources.contains_key(required) {
                bail!("client/{required} is missing");
            }
        }
        if purpose == Purpose::Release {
            for (name, content) in &mut site.sources {
                *content = shrunk(name, std::mem::take(content));
            }
        }
        site.place_program(bound, purpose)?;
        Ok(site)
    }

    fn add(&mut self, name: &str, path: &Path) -> Result<()> {
        let content = read(path)?;
        if self.sources.insert(name.to_owned(), content).is_some() {
            bail!("two files of the site are called {name}");
        }
        Ok(())
    }

    /// Places what the compiler made. These files name each other as they stand in one folder, in a circle even, so it is
    /// the folder that is named by their content.
    fn place_program(&mut self, bound: &Path, purpose: Purpose) -> Result<()> {
        let mut program = Files::new();
        for name in names_in(bound)? {
            let mut content = read(&bound.join(&name))?;
            if purpose == Purpose::Release {
                content = shrunk(&name, content);
            }
            program.insert(name, content);
        }
        let folder = format!("assets/program-{}", build_id(&program, ""));
        for (name, asked_for_as) in [(split::MODULE, "app.js"), (split::PROGRAM, "app.wasm")] {
            self.addresses
                .insert(asked_for_as.to_owned(), format!("/{folder}/{name}"));
        }
        for (name, content) in program {
            self.placed.insert(format!("{folder}/{name}"), content);
        }
        Ok(())
    }

    /// Places every file but the service worker. A file that is asked for by a placeholder is
    /// named by its content; one that nobody asks for keeps its name.
    pub(super) fn place_all(&mut self) -> Result<()> {
        let asked_for = self.asked_for();
        let names: Vec<String> = self.sources.keys().cloned().collect();
        for name in names {
            if asked_for.contains(&name) {
                self.address_of(&name)?;
            } else if name != WORKER {
                let content = self.filled(&name)?;
                self.placed.insert(name, content);
            }
        }
        Ok(())
    }

    /// Fills the service worker, which lists all others, and hands over the whole.
    pub(super) fn finish(mut self) -> Result<Files> {
        let worker = self.filled(WORKER)?;
        let worker = String::from_utf8(worker).context("service_worker.js is not UTF-8 text")?;
        let addresses: Vec<String> = self.placed.keys().map(|path| address(path)).collect();
        let list = format!("[\n  \"{}\"\n]", addresses.join("\",\n  \""));
        let build = build_id(&self.placed, &worker);
        let worker = fill_once(&worker, FILES, &list)?;
        let worker = fill_once(&worker, BUILD, &build)?;
        self.placed.insert(WORKER.to_owned(), worker.into_bytes());
        Ok(self.placed)
    }

    /// Names of sources that stand in a placeholder anywhere.
    fn asked_for(&self) -> BTreeSet<String> {
        let placeholders: BTreeSet<&str> = self
            .sources
            .iter()
            .filter(|(name, _)| is_template(name))
            .filter_map(|(_, content)| std::str::from_utf8(content).ok())
            .flat_map(placeholders)
            .collect();
        self.sources
            .keys()
            .filter(|name| placeholders.contains(&*placeholder_for(name)))
            .cloned()
            .collect()
    }

    /// The address of a file that is named by its content, placing it first if need be.
    fn address_of(&mut self, name: &str) -> Result<String> {
        if let Some(address) = self.addresses.get(name) {
            return Ok(address.clone());
        }
        let content = self.filled(name)?;
        let path = format!("assets/{}", named_by_content(name, &content));
        let address = address(&path);
        self.placed.insert(path, content);
        self.addresses.insert(name.to_owned(), address.clone());
        Ok(address)
    }

    /// The content of a source with the addresses of other files filled in.
    fn filled(&mut self, name: &str) -> Result<Vec<u8>> {
        let content = self.sources.get(name).cloned().unwrap_or_default();
        if !is_template(name) {
            return Ok(content);
        }
        if self.open.iter().any(|open| open == name) {
            bail!(
                "client/{name} asks for itself by way of {}",
                self.open.join(", ")
            );
        }
        let mut text =
            String::from_utf8(content).with_context(|| format!("{name} is not UTF-8 text"))?;
        let wanted: BTreeSet<String> = placeholders(&text).map(str::to_owned).collect();
        self.open.push(name.to_owned());
        for placeholder in wanted {
            if name == WORKER && [FILES, BUILD].contains(&&*placeholder) {
                continue;
            }
            let Some(other) = self
                .sources
                .keys()
                .chain(self.addresses.keys())
                .find(|name| placeholder_for(name) == placeholder)
            else {
                bail!("client/{name} says {placeholder}, and there is no file of that name");
            };
            let address = self.address_of(&other.clone())?;
            text = text.replace(&placeholder, address.trim_start_matches('/'));
        }
        self.open.pop();
        Ok(text.into_bytes())
    }
}

/// `style.css` is asked for as `__STYLE_CSS__`; the folder it is in does not matter.
fn placeholder_for(name: &str) -> String {
    let file = name.rsplit('/').next().unwrap_or(name);
    let capitals = file.to_ascii_uppercase();
    format!(
        "__{}__",
        capitals.replace(|letter: char| !letter.is_ascii_alphanumeric(), "_")
    )
}

/// Everything in the text that looks like a placeholder: capitals and digits between two underscores
/// on either side.
fn placeholders(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !(letter.is_ascii_alphanumeric() || letter == '_'))
        .filter(|word| {
            word.strip_prefix("__")
                .and_then(|rest| rest.strip_suffix("__"))
                .is_some_and(|name| {
                    name.starts_with(|first: char| first.is_ascii_uppercase())
                        && !name.contains(|letter: char| letter.is_ascii_lowercase())
                })
        })
}

/// Replaces a placeholder that has to be there.
fn fill_once(text: &str, placeholder: &str, value: &str) -> Result<String> {
    if !text.contains(placeholder) {
        bail!("client/{WORKER} has no {placeholder}");
    }
    Ok(text.replace(placeholder, value))
}

/// Text files in which placeholders are looked for.
fn is_template(name: &str) -> bool {
    ["html", "css", "js", "webmanifest", "svg"]
        .iter()
        .any(|ending| has_ending(name, ending))
}

fn has_ending(name: &str, ending: &str) -> bool {
    Path::new(name)
        .extension()
        .is_some_and(|extension| extension == ending)
}

/// `style.css` becomes `style-0123456789abcdef.css`; folders are dropped.
fn named_by_content(name: &str, content: &[u8]) -> String {
    let file = name.rsplit('/').next().unwrap_or(name);
    let hash: String = sha256(content).chars().take(16).collect();
    match file.rsplit_once('.') {
        Some((stem, ending)) => format!("{stem}-{hash}.{ending}"),
        None => format!("{file}-{hash}"),
    }
}

/// What a browser asks for: the start page is asked for as `/`.
fn address(path: &str) -> String {
    if path == START {
        "/".to_owned()
    } else {
        format!("/{path}")
    }
}

/// Changes whenever any file does, the service worker's own text included.
fn build_id(files: &Files, worker: &str) -> String {
    let mut all = String::new();
    for (path, content) in files {
        all.push_str(path);
        all.push_str(&sha256(content));
    }
    all.push_str(worker);
    sha256(all.as_bytes()).chars().take(16).collect()
}

/// Relative names with forward slashes, on every system.
fn names_in(folder: &Path) -> Result<Vec<String>> {
    files_below(folder, &[PathBuf::new()])?
        .into_iter()
        .map(|path| {
            path.iter()
                .map(|part| {
                    part.to_str()
                        .with_context(|| format!("the name {} is not UTF-8 text", path.display()))
                })
                .collect::<Result<Vec<_>>>()
                .map(|parts| parts.join("/"))
        })
        .collect()
}

fn read(path: &Path) -> Result<Vec<u8>> {
    fs::read(path).with_context(|| format!("{} cannot be read", path.display()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A site of the given sources, finished; or the sentence that says why it cannot be.
    fn finish(sources: &[(&str, &str)]) -> Result<BTreeMap<String, String>, String> {
        let mut site = Site {
            sources: sources
                .iter()
                .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
                .collect(),
            ..Site::default()
        };
        site.place_all()
            .and_then(|()| site.finish())
            .map(|files| {
                files
                    .into_iter()
                    .map(|(path, content)| (path, String::from_utf8(content).unwrap()))
                    .collect()
            })
            .map_err(|trouble| format!("{trouble:#}"))
    }

    const WORKER_TEXT: &str = "const BUILD = \"__BUILD__\"; const FILES = __FILES__;";

    #[test]
    fn files_name_each_other_by_content() {
        let files = finish(&[
            (
                "index.html",
                "<link href=\"/__STYLE_CSS__\"><script src=\"/__START_JS__\">",
            ),
            ("start.js", "import init from \"/__APP_JS__\";"),
            ("app.js", "export default 1;"),
            ("style.css", "body {}"),
            ("icons/icon.svg", "<svg/>"),
            ("service_worker.js", WORKER_TEXT),
        ])
        .unwrap();
        let paths: Vec<&str> = files.keys().map(String::as_str).collect();
        assert_eq!(
            paths,
            [
                "assets/app-56332e0a55734bc2.js",
                "assets/start-8217d8edafbb6b88.js",
                "assets/style-62368a1a29259b30.css",
                "icons/icon.svg",
                "index.html",
                "service_worker.js",
            ]
        );
        assert!(files["index.html"].contains("href=\"/assets/style-62368a1a29259b30.css\""));
        assert!(!files.values().any(|text| text.contains("__")), "{files:?}");
    }

    #[test]
    fn the_program_stands_in_a_folder_named_by_all_of_its_files() {
        let bound = std::env::temp_dir().join(format!("selion-bound-{}", std::process::id()));
        let paths = |later: &str| {
            fs::create_dir_all(&bound).unwrap();
            for (name, text) in [("app.js", "1"), ("app_bg.wasm", "2"), ("later.js", later)] {
                fs::write(bound.join(name), text).unwrap();
            }
            let mut site = Site::default();
            site.sources
                .insert("start.js".to_owned(), b"/__APP_JS__ /__APP_WASM__".to_vec());
            let placed = site
                .place_program(&bound, Purpose::Development)
                .and_then(|()| site.place_all());
            fs::remove_dir_all(&bound).unwrap();
            placed.unwrap();
            let start = String::from_utf8(site.placed["start.js"].clone()).unwrap();
            let folder = start.split_once("/app.js ").unwrap().0.to_owned();
            assert_eq!(start, format!("{folder}/app.js {folder}/app_bg.wasm"));
            let later = format!("{}/later.js", folder.trim_start_matches('/'));
            assert!(site.placed.contains_key(&later), "{later}");
            folder
        };
        assert!(paths("3").starts_with("/assets/program-"));
        assert_eq!(paths("3"), paths("3"));
        assert_ne!(paths("3"), paths("4"));
    }

    #[test]
    fn the_worker_lists_all_but_itself_and_the_start_page_as_a_slash() {
        let files = finish(&[
            ("index.html", "hello"),
            ("manifest.webmanifest", "{}"),
            ("service_worker.js", WORKER_TEXT),
        ])
        .unwrap();
        let (_, list) = files["service_worker.js"].split_once("FILES = ").unwrap();
        assert_eq!(list, "[\n  \"/\",\n  \"/manifest.webmanifest\"\n];");
    }

    #[test]
    fn a_change_anywhere_is_a_new_build() {
        let build = |page: &str, worker: &str| {
            let files = finish(&[("index.html", page), ("service_worker.js", worker)]).unwrap();
            let text = files["service_worker.js"].clone();
            text.split('"').nth(1).unwrap().to_owned()
        };
        let first = build("hello", WORKER_TEXT);
        assert_eq!(first.len(), 16);
        assert_eq!(first, build("hello", WORKER_TEXT));
        assert_ne!(first, build("hello!", WORKER_TEXT));
        assert_ne!(first, build("hello", &format!("{WORKER_TEXT} // more")));
    }

    #[test]
    fn what_cannot_be_filled_is_named() {
        assert_eq!(
            finish(&[
                ("index.html", "/__NOTHING_CSS__"),
                ("service_worker.js", WORKER_TEXT)
            ]),
            Err(
                "client/index.html says __NOTHING_CSS__, and there is no file of that name"
                    .to_owned()
            )
        );
        assert_eq!(
            finish(&[
                ("a.js", "/__B_JS__"),
                ("b.js", "/__A_JS__"),
                ("service_worker.js", "")
            ]),
            Err("client/a.js asks for itself by way of a.js, b.js".to_owned())
        );
        assert_eq!(
            finish(&[("index.html", ""), ("service_worker.js", "__BUILD__")]),
            Err("client/service_worker.js has no __FILES__".to_owned())
        );
    }
}
