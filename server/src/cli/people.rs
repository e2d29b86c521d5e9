//! `selion person`: who uses the service and on which devices, also while it runs.

use std::io::Write;

use clap::Subcommand;
use selion_core::quantities::Moment;

use super::{CommandError, DataFolder, at_desk};
use crate::ids::DeviceId;
use crate::rooms::Desk;
use crate::store::rows::{Device, Write as Row};

#[derive(Debug, Subcommand)]
pub(super) enum PersonCommand {
    /// List people with their gardens and devices.
    List(DataFolder),
    /// Sign a device out of everything: a lost phone.
    SignOut(SignOut),
}

#[derive(Debug, clap::Args)]
pub(super) struct SignOut {
    /// The device's id, from the list.
    device: DeviceId,
    #[command(flatten)]
    folder: DataFolder,
}

impl PersonCommand {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        let lines = match self {
            Self::List(folder) => at_desk(&folder, list)?,
            Self::SignOut(SignOut { device, folder }) => {
                at_desk(&folder, |desk| sign_out(desk, device))?
            }
        };
        for line in lines {
            writeln!(out, "{line}")?;
        }
        Ok(())
    }
}

fn list(desk: &mut Desk<'_>) -> Result<Vec<String>, CommandError> {
    let mut lines = Vec::new();
    for garden in desk.store.gardens()? {
        let picture = desk.hall.picture(desk.store.as_read(), garden.id)?.clone();
        let name = picture
            .profile
            .as_ref()
            .map(|profile| profile.name.clone())
            .unwrap_or_default();
        lines.push(format!("{name} ({})", garden.id));
        for row in desk.store.enrolled(garden.id)? {
            let role = picture
                .open_member(row.member)
                .map_or("left", |member| member.role.word());
            lines.push(format!("  {} ({role})", picture.name_of(row.member)));
            for device in desk.store.devices_of(row.person)? {
                if device.garden.is_none_or(|only| only == garden.id) {
                    let barred = desk.store.is_barred(device.id, garden.id)?;
                    lines.push(format!("    {}", describe(&device, barred)));
                }
            }
        }
    }
    Ok(lines)
}

fn describe(device: &Device, barred: bool) -> String {
    let day = |at: Moment| at.day_in_utc();
    let state = match device.revoked_at {
        Some(at) => format!("signed out on {}", day(at)),
        None if barred => "signed out of this garden".to_owned(),
        None => format!("last seen on {}", day(device.last_seen)),
    };
    format!("{}  {}: {state}", device.id, device.name)
}

/// The running service notices at the device's next request or batch of edits.
fn sign_out(desk: &mut Desk<'_>, device: DeviceId) -> Result<Vec<String>, CommandError> {
    let row = desk.store.device(device)?;
    let row = row.ok_or_else(|| CommandError::Asked(format!("there is no device {device}")))?;
    desk.store.commit(&[Row::RevokeDevice(row.id, desk.now)])?;
    Ok(vec![format!("{} is signed out.", row.name)])
}
