//! `selion backup` and `selion restore`.

use std::io::Write;
use std::path::PathBuf;

use super::{CommandError, DataFolder};
use crate::service::DataLock;
use crate::store::sqlite::{back_up, restore};

#[derive(Debug, clap::Args)]
pub(super) struct Backup {
    #[command(flatten)]
    folder: DataFolder,
    /// The file to write. It appears whole or not at all.
    #[arg(long, value_name = "FILE")]
    to: PathBuf,
}

#[derive(Debug, clap::Args)]
pub(super) struct Restore {
    #[command(flatten)]
    folder: DataFolder,
    /// The file that `selion backup` wrote.
    #[arg(long, value_name = "FILE")]
    from: PathBuf,
}

impl Backup {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        back_up(&self.folder.data, &self.to)?;
        writeln!(
            out,
            "All data were copied to {}. It holds everything: keep it as safe as the service.",
            self.to.display()
        )?;
        Ok(())
    }
}

impl Restore {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        let _nobody_else = DataLock::take(&self.folder.data)?;
        restore(&self.folder.data, &self.from)?;
        writeln!(
            out,
            "The data are those of {} again. Phones will offer what they wrote since.",
            self.from.display()
        )?;
        Ok(())
    }
}
