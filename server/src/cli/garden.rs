//! `selion garden`: gardens in, out and listed.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Subcommand;
use selion_core::document::Garden;
use selion_core::exchange::{bed_table, geojson, ledger_sheet};

use super::{CommandError, DataFolder, at_desk, link, which_garden};
use crate::accounts;
use crate::by_hand::Hand;
use crate::config::Limits;
use crate::exchange::{
    Imported, export_ground, export_records, import_ground, import_records, is_records,
    keeper_of_ground,
};
use crate::service::DataLock;

#[derive(Debug, Subcommand)]
pub(super) enum GardenCommand {
    /// List the gardens.
    List(DataFolder),
    /// Bring in beds from a table (.csv), the ground from GeoJSON, or a whole garden as it was exported. The service must
    /// not be running.
    Import(Import),
    /// Write a garden's ground as GeoJSON, each year's ledger as a table and as JSON, and all its records as JSON.
    Export(Export),
}

#[derive(Debug, clap::Args)]
pub(super) struct Import {
    /// The file.
    file: PathBuf,
    #[command(flatten)]
    folder: DataFolder,
    /// The garden, by name or id; not needed when there is only one.
    #[arg(long, value_name = "NAME|ID")]
    garden: Option<String>,
}

#[derive(Debug, clap::Args)]
pub(super) struct Export {
    #[command(flatten)]
    folder: DataFolder,
    /// The garden, by name or id; not needed when there is only one.
    #[arg(long, value_name = "NAME|ID")]
    garden: Option<String>,
    /// The folder to write ground.geojson, ledger-YEAR.csv, ledger-YEAR.json and garden.json into.
    #[arg(long, value_name = "DIR", default_value = ".")]
    to: PathBuf,
}

impl GardenCommand {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        match self {
            Self::List(folder) => list(&folder, out),
            Self::Import(import) => import.run(out),
            Self::Export(export) => export.run(out),
        }
    }
}

fn list(folder: &DataFolder, out: &mut dyn Write) -> Result<(), CommandError> {
    let lines = at_desk(folder, |desk| {
        let mut lines = Vec::new();
        for garden in desk.store.gardens()? {
            let picture = desk.hall.picture(desk.store.as_read(), garden.id)?;
            let name = picture
                .profile
                .as_ref()
                .map(|profile| profile.name.clone())
                .unwrap_or_default();
            let people = picture
                .members
                .values()
                .filter(|member| member.ended_on.is_none())
                .count();
            lines.push(format!(
                "{}  {name}: {} beds, {people} people",
                garden.id,
                picture.open_beds().len()
            ));
        }
        Ok(lines)
    })?;
    for line in lines {
        writeln!(out, "{line}")?;
    }
    Ok(())
}

impl Import {
    fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        let text = read(&self.file)?;
        let is_table = self
            .file
            .extension()
            .is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
        if !is_table && is_records(&text) {
            return self.whole_garden(&text, out);
        }
        let found = if is_table {
            bed_table::read(&text)
        } else {
            geojson::read(&text)
        };
        let found =
            found.map_err(|bad| CommandError::Asked(format!("{}: {bad}", self.file.display())))?;
        let _nobody_else = DataLock::take(&self.folder.data)?;
        let Imported {
            beds,
            structures,
            fences,
            people,
        } = at_desk(&self.folder, |desk| {
            let garden = which_garden(desk, self.garden.as_deref())?;
            let picture = desk.hall.picture(desk.store.as_read(), garden)?;
            let member = keeper_of_ground(picture)
                .ok_or_else(|| CommandError::Asked("the garden has no coordinator".to_owned()))?;
            Ok(import_ground(
                desk,
                Hand { garden, member },
                &found,
                !is_table,
            )?)
        })?;
        writeln!(
            out,
            "Brought in {beds} beds, {structures} structures and {fences} fence lines; {people} people are new in the garden."
        )?;
        Ok(())
    }

    /// A whole garden, and a link for its coordinator: accounts are not part of it.
    fn whole_garden(self, text: &str, out: &mut dyn Write) -> Result<(), CommandError> {
        let _nobody_else = DataLock::take(&self.folder.data)?;
        let (brought, link) = at_desk(&self.folder, |desk| {
            let brought = import_records(desk, text)?;
            let made = accounts::member_invite(desk, brought.garden, brought.coordinator)?;
            let link = link(desk.store.as_read(), made.secret.reveal())?;
            Ok((brought, link))
        })?;
        writeln!(
            out,
            "Brought in the garden {}. Its coordinator comes in with this link, once:",
            brought.name
        )?;
        writeln!(out, "{link}")?;
        Ok(())
    }
}

impl Export {
    fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        let files = at_desk(&self.folder, |desk| {
            let garden = which_garden(desk, self.garden.as_deref())?;
            let picture = desk.hall.picture(desk.store.as_read(), garden)?;
            let mut files = vec![("ground.geojson".to_owned(), export_ground(picture))];
            files.extend(ledgers(picture)?);
            files.push(("garden.json".to_owned(), export_records(desk, garden)?));
            Ok(files)
        })?;
        std::fs::create_dir_all(&self.to)?;
        for (name, text) in files {
            let path = self.to.join(name);
            std::fs::write(&path, text)?;
            writeln!(out, "{}", path.display())?;
        }
        Ok(())
    }
}

/// Each year's ledger as a table and as JSON.
fn ledgers(garden: &Garden) -> Result<Vec<(String, String)>, CommandError> {
    let mut files = Vec::new();
    for year in garden.ledgers.keys() {
        let wrong = |why: String| CommandError::Asked(format!("ledger of {year}: {why}"));
        let sheet = ledger_sheet::of_year(garden, *year).map_err(|bad| wrong(bad.to_string()))?;
        let table = sheet.to_csv().map_err(|bad| wrong(bad.to_string()))?;
        let json = sheet.to_json().map_err(|bad| wrong(bad.to_string()))?;
        files.push((format!("ledger-{year}.csv"), table));
        files.push((format!("ledger-{year}.json"), json));
    }
    Ok(files)
}

/// A file as text, unless it is too long to be one of ours.
fn read(file: &Path) -> Result<String, CommandError> {
    let most = Limits::default().import_file;
    let named = |error: std::io::Error| CommandError::Asked(format!("{}: {error}", file.display()));
    let length = std::fs::metadata(file).map_err(named)?.len();
    if length > most {
        return Err(CommandError::Asked(format!(
            "{}: at most {most} bytes can be read, it has {length}",
            file.display()
        )));
    }
    std::fs::read_to_string(file).map_err(named)
}
