//! Commands as they are typed, on data that a service made.

use std::path::Path;
use std::sync::Arc;

use clap::Parser as _;

use super::{CommandLine, run};
use crate::clock::SystemClock;
use crate::config::Config;
use crate::demo;
use crate::error::AppError;
use crate::service::start;

/// A data folder with the demonstration garden in it.
fn data_with_garden() -> tempfile::TempDir {
    let data = tempfile::tempdir().unwrap();
    let config = Config {
        port: 0,
        ..Config::for_data(data.path().to_owned())
    };
    let running = start(config, Arc::new(SystemClock)).unwrap();
    running
        .ask(|desk| demo::make(desk).map_err(|_broken| AppError::Broken))
        .unwrap();
    running.stop();
    data
}

fn selion(words: &[&str], data: &Path) -> Result<String, String> {
    let line = ["selion"]
        .iter()
        .chain(words)
        .copied()
        .chain(["--data", data.to_str().unwrap()]);
    let line = CommandLine::try_parse_from(line).map_err(|error| error.to_string())?;
    let mut out = Vec::new();
    run(line, &mut out).map_err(|error| error.to_string())?;
    Ok(String::from_utf8(out).unwrap())
}

#[test]
fn the_parser_is_sound() {
    use clap::CommandFactory as _;
    CommandLine::command().debug_assert();
}

#[test]
fn links_lists_and_lost_phones() {
    let data = data_with_garden();
    let at = data.path();
    let link = selion(&["invite", "--new-garden"], at).unwrap();
    assert!(
        link.starts_with("http://localhost:") && link.contains("/join#"),
        "{link}"
    );
    assert!(
        selion(&["invite", "--member", "ines"], at)
            .unwrap()
            .contains("/join#")
    );
    assert_eq!(
        selion(&["invite", "--member", "Nobody"], at).unwrap_err(),
        "0 members are named \"Nobody\""
    );
    let gardens = selion(&["garden", "list"], at).unwrap();
    assert!(
        gardens.trim().ends_with("Sorrel Bank: 28 beds, 12 people"),
        "{gardens}"
    );

    let people = selion(&["person", "list"], at).unwrap();
    let device = people
        .lines()
        .find(|line| line.contains("garden office"))
        .unwrap();
    let id = device.split_whitespace().next().unwrap();
    assert_eq!(
        selion(&["person", "sign-out", id], at).unwrap(),
        "garden office is signed out.\n"
    );
    assert!(
        selion(&["person", "list"], at)
            .unwrap()
            .contains("garden office: signed out on")
    );
}

#[test]
fn a_backup_goes_back() {
    let data = data_with_garden();
    let copy = data.path().join("elsewhere.db");
    let before = selion(&["garden", "list"], data.path()).unwrap();
    selion(&["backup", "--to", copy.to_str().unwrap()], data.path()).unwrap();
    let other = tempfile::tempdir().unwrap();
    selion(&["restore", "--from", copy.to_str().unwrap()], other.path()).unwrap();
    assert_eq!(selion(&["garden", "list"], other.path()).unwrap(), before);
    let config = Config {
        port: 0,
        ..Config::for_data(other.path().to_owned())
    };
    let running = start(config, Arc::new(SystemClock)).unwrap();
    let refused = selion(&["restore", "--from", copy.to_str().unwrap()], other.path()).unwrap_err();
    assert!(
        refused.starts_with("a service is already running"),
        "{refused}"
    );
    drop(running);
}

#[test]
fn a_garden_goes_out_and_into_another_service() {
    let data = data_with_garden();
    let out = data.path().join("out");
    selion(
        &["garden", "export", "--to", out.to_str().unwrap()],
        data.path(),
    )
    .unwrap();
    let records = out.join("garden.json");
    let other = tempfile::tempdir().unwrap();
    let config = Config {
        port: 0,
        ..Config::for_data(other.path().to_owned())
    };
    start(config, Arc::new(SystemClock)).unwrap().stop();
    let said = selion(
        &["garden", "import", records.to_str().unwrap()],
        other.path(),
    )
    .unwrap();
    assert!(
        said.starts_with("Brought in the garden Sorrel Bank.") && said.contains("/join#"),
        "{said}"
    );
    let list = |at: &Path| selion(&["garden", "list"], at).unwrap();
    assert_eq!(list(other.path()), list(data.path()));

    let table = out.join("more.csv");
    std::fs::write(&table, "label,length,width,unit\nF1,10,4,ft\n").unwrap();
    let said = selion(&["garden", "import", table.to_str().unwrap()], other.path()).unwrap();
    assert_eq!(
        said,
        "Brought in 1 beds, 0 structures and 0 fence lines; 0 people are new in the garden.\n"
    );
    std::fs::write(&table, "shed,door\n1,2\n").unwrap();
    let refused = selion(&["garden", "import", table.to_str().unwrap()], other.path()).unwrap_err();
    assert!(
        refused.contains("label") && !refused.trim().contains('\n'),
        "{refused}"
    );
}

#[test]
fn a_folder_without_data_is_told() {
    let empty = tempfile::tempdir().unwrap();
    let refused = selion(&["garden", "list"], empty.path()).unwrap_err();
    assert_eq!(
        refused,
        format!("there is no data in {}", empty.path().display())
    );
}
