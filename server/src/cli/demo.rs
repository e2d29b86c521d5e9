//! `selion demo`: the service with the invented garden.

use std::io::Write;
use std::path::PathBuf;

use super::serve::{Listen, announce, write_log_to_stderr};
use super::{CommandError, DataFolder};
use crate::accounts::{self, MadeInvite};
use crate::demo;
use crate::error::AppError;

#[derive(Debug, clap::Args)]
pub(super) struct Demo {
    /// The folder of data; without it a temporary one, which goes when the program ends.
    #[arg(long, value_name = "DIR")]
    data: Option<PathBuf>,
    #[command(flatten)]
    listen: Listen,
}

impl Demo {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        write_log_to_stderr();
        let temporary;
        let data = if let Some(data) = self.data {
            data
        } else {
            temporary = tempfile::Builder::new().prefix("selion-demo-").tempdir()?;
            temporary.path().to_owned()
        };
        let running = self.listen.start(DataFolder { data })?;
        let links = running.ask(|desk| {
            let made = demo::find_or_make(desk).map_err(|error| {
                tracing::error!(%error, "the demonstration garden cannot be made");
                AppError::Broken
            })?;
            let coordinator = accounts::person_invite(desk, made.coordinator)?;
            let member = accounts::member_invite(desk, made.garden, made.member)?;
            let helper = accounts::member_invite(desk, made.garden, made.helper)?;
            Ok([
                (demo::COORDINATOR, coordinator),
                (demo::MEMBER, member),
                (demo::HELPER, helper),
            ])
        })?;
        writeln!(
            out,
            "{}: sign in with one of these links, each once:",
            demo::NAME
        )?;
        for ((name, MadeInvite { secret, .. }), role) in
            links.iter().zip(["coordinator", "member", "helper"])
        {
            let link = running.link(&format!("/join#{}", secret.reveal()));
            writeln!(out, "  {:<20} {link}", format!("{name} ({role})"))?;
        }
        announce(&running, out)?;
        running.wait();
        Ok(())
    }
}
