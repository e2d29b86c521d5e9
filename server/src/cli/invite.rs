//! `selion invite`: links made by whoever runs the service, also while it runs.

use std::io::Write;

use super::{CommandError, DataFolder, at_desk, link, which_garden};
use crate::accounts;

#[derive(Debug, clap::Args)]
pub(super) struct Invite {
    #[command(flatten)]
    folder: DataFolder,
    /// A link to make a new garden.
    #[arg(long, conflicts_with_all = ["garden", "member"])]
    new_garden: bool,
    /// The garden, by name or id; not needed when there is only one.
    #[arg(long, value_name = "NAME|ID")]
    garden: Option<String>,
    /// The member to become, by name: for a coordinator who lost every device.
    #[arg(long, value_name = "NAME", required_unless_present = "new_garden")]
    member: Option<String>,
}

impl Invite {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        let text = at_desk(&self.folder, |desk| {
            let made = match &self.member {
                None => accounts::new_garden_invite(desk)?,
                Some(name) => {
                    let garden = which_garden(desk, self.garden.as_deref())?;
                    let picture = desk.hall.picture(desk.store.as_read(), garden)?;
                    let open = picture
                        .members
                        .iter()
                        .filter(|(_, record)| record.ended_on.is_none());
                    let named: Vec<_> = open
                        .filter(|(_, record)| record.name.eq_ignore_ascii_case(name))
                        .collect();
                    let [(member, _)] = named.as_slice() else {
                        return Err(CommandError::Asked(format!(
                            "{} members are named \"{name}\"",
                            named.len()
                        )));
                    };
                    let member = **member;
                    accounts::member_invite(desk, garden, member)?
                }
            };
            link(desk.store.as_read(), made.secret.reveal())
        })?;
        writeln!(out, "{text}")?;
        Ok(())
    }
}
