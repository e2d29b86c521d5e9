//! The command line: one file a subject. Everything is printed to the `out` it is handed, so that tests can read it.

mod backup;
mod demo;
mod garden;
mod invite;
mod people;
mod reckon;
mod serve;

#[cfg(test)]
mod tests;

use std::io::Write;
use std::path::PathBuf;
use std::sync::Arc;

use clap::{Parser, Subcommand};
use selion_core::document::ids::GardenId;
use selion_core::topics::TopicError;
use thiserror::Error;

use crate::by_hand::ByHandError;
use crate::clock::{Clock as _, SystemClock};
use crate::config::{Limits, NoOrigin};
use crate::error::AppError;
use crate::rooms::{Desk, Hall, RoomError};
use crate::service::StartError;
use crate::store::sqlite::SqliteStore;
use crate::store::{Read, StoreError, value};

/// Selion: the service for a garden that people share.
#[derive(Debug, Parser)]
#[command(name = "selion", version, about)]
pub struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Run the service.
    Serve(serve::Serve),
    /// Make a link: to make a garden, or to become a member of one again.
    Invite(invite::Invite),
    /// Run the service with an invented garden and print links for three people in it.
    Demo(demo::Demo),
    /// Bring the ground of a garden in from a file.
    #[command(subcommand)]
    Garden(garden::GardenCommand),
    /// List people, or sign their devices out.
    #[command(subcommand)]
    Person(people::PersonCommand),
    /// Work out something of the trade from a case in JSON on standard input, with its working.
    Reckon(reckon::Reckon),
    /// Copy all data to one file, also while the service runs.
    Backup(backup::Backup),
    /// Put a copy back; the service must not be running.
    Restore(backup::Restore),
}

/// The folder of data that a command works on.
#[derive(Debug, clap::Args)]
struct DataFolder {
    /// The folder of data.
    #[arg(long, value_name = "DIR")]
    data: PathBuf,
}

/// Why a command failed: one sentence.
#[derive(Debug, Error)]
pub enum CommandError {
    /// What was typed cannot be done.
    #[error("{0}")]
    Asked(String),
    /// The service did not start.
    #[error(transparent)]
    Start(#[from] StartError),
    /// The storage failed.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A garden cannot be worked on.
    #[error(transparent)]
    Room(#[from] RoomError),
    /// Edits were not taken.
    #[error(transparent)]
    ByHand(#[from] ByHandError),
    /// The rules say no.
    #[error(transparent)]
    Refused(#[from] AppError),
    /// There is no answer to a case.
    #[error(transparent)]
    Topic(#[from] TopicError),
    /// An origin is none.
    #[error(transparent)]
    Origin(#[from] NoOrigin),
    /// Reading or writing a file or the output failed.
    #[error("{0}")]
    File(#[from] std::io::Error),
}

impl CommandError {
    /// What the program ends with.
    pub fn exit_status(&self) -> u8 {
        match self {
            Self::Topic(error) => reckon::exit_status(error),
            Self::Asked(_)
            | Self::Start(_)
            | Self::Store(_)
            | Self::Room(_)
            | Self::ByHand(_)
            | Self::Refused(_)
            | Self::Origin(_)
            | Self::File(_) => 1,
        }
    }
}

/// Does what was asked and prints to `out`.
pub fn run(line: CommandLine, out: &mut dyn Write) -> Result<(), CommandError> {
    match line.command {
        Command::Serve(serve) => serve.run(out),
        Command::Invite(invite) => invite.run(out),
        Command::Demo(demo) => demo.run(out),
        Command::Garden(garden) => garden.run(out),
        Command::Person(person) => person.run(out),
        Command::Reckon(reckon) => reckon.run(&mut std::io::stdin().lock(), out),
        Command::Backup(backup) => backup.run(out),
        Command::Restore(restore) => restore.run(out),
    }
}

/// Opens a data folder that exists and does something with it, as the keeper would.
fn at_desk<T>(
    folder: &DataFolder,
    work: impl FnOnce(&mut Desk<'_>) -> Result<T, CommandError>,
) -> Result<T, CommandError> {
    let file = crate::store::sqlite::file_in(&folder.data);
    if !file.is_file() {
        return Err(CommandError::Asked(format!(
            "there is no data in {}",
            folder.data.display()
        )));
    }
    let mut store = SqliteStore::open(&folder.data)?;
    let epoch = store
        .value(value::EPOCH)?
        .and_then(|bytes| bytes.try_into().ok());
    let epoch = epoch
        .ok_or_else(|| CommandError::Asked("the data were never used by a service".to_owned()))?;
    let limits = Limits::default();
    let mut hall = Hall::new(epoch, limits.clone());
    work(&mut Desk::new(
        &mut store,
        &mut hall,
        SystemClock.now(),
        &limits,
    ))
}

/// The garden that was meant: by id or by name; when there is only one it need not be named.
fn which_garden(desk: &mut Desk<'_>, named: Option<&str>) -> Result<GardenId, CommandError> {
    let mut found = Vec::new();
    for garden in desk.store.gardens()? {
        let picture = desk.hall.picture(desk.store.as_read(), garden.id)?;
        let name = picture
            .profile
            .as_ref()
            .map(|profile| profile.name.clone())
            .unwrap_or_default();
        if named
            .is_none_or(|named| name.eq_ignore_ascii_case(named) || garden.id.to_string() == named)
        {
            found.push((garden.id, name));
        }
    }
    match (found.as_slice(), named) {
        ([(garden, _)], _) => Ok(*garden),
        ([], None) => Err(CommandError::Asked("there is no garden yet".to_owned())),
        ([], Some(named)) => Err(CommandError::Asked(format!(
            "there is no garden \"{named}\""
        ))),
        (several, _) => {
            let list: Vec<String> = several
                .iter()
                .map(|(id, name)| format!("{name} ({id})"))
                .collect();
            Err(CommandError::Asked(format!(
                "which garden? Name one with --garden: {}",
                list.join(", ")
            )))
        }
    }
}

/// A link into the service as it last ran on this data.
fn link(read: &dyn Read, secret: &str) -> Result<String, CommandError> {
    let origin = read
        .value(value::ORIGIN)?
        .and_then(|bytes| String::from_utf8(bytes).ok())
        .unwrap_or_default();
    Ok(format!("{origin}/join#{secret}"))
}

/// The machine's clock as the service takes it.
fn system_clock() -> crate::clock::SharedClock {
    Arc::new(SystemClock)
}
