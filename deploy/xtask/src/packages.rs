//! The distribution's packages, through `apt-get`, with `sudo` where it is needed and there.

use std::process::Command;
use std::sync::Once;

use anyhow::{Context as _, Result, bail};

use crate::tools::{on_path, output_of, run, say};

/// Installs packages, or says in one sentence why it cannot.
pub(crate) fn install(names: &[&str]) -> Result<()> {
    refresh()?;
    say(format!("setup: apt-get install {}", names.join(" ")));
    // Never at the price of something that is installed already.
    let flags = ["install", "-y", "--no-install-recommends", "--no-remove"];
    run(apt_get()?.args(flags).args(names)).with_context(|| {
        format!(
            "please install {} with the system's package manager",
            names.join(", ")
        )
    })
}

/// Reads the lists of packages anew, once in the life of this program.
pub(crate) fn refresh() -> Result<()> {
    static REFRESHED: Once = Once::new();
    let mut command = apt_get()?;
    REFRESHED.call_once(|| {
        say("setup: apt-get update");
        if let Err(trouble) = run(command.args(["update", "-q"])) {
            say(format!(
                "setup: going on with the lists of packages as they are, since {trouble:#}"
            ));
        }
    });
    Ok(())
}

/// The version that would be installed, if the package exists.
pub(crate) fn candidate(name: &str) -> Option<String> {
    let policy = output_of(Command::new("apt-cache").args(["policy", name])).ok()?;
    candidate_in(&policy)
}

/// The description of the version that would be installed.
pub(crate) fn description(name: &str) -> Result<String> {
    output_of(Command::new("apt-cache").args(["show", "--no-all-versions", name]))
}

fn candidate_in(policy: &str) -> Option<String> {
    policy
        .lines()
        .find_map(|line| line.trim().strip_prefix("Candidate:"))
        .map(str::trim)
        .filter(|version| *version != "(none)")
        .map(str::to_owned)
}

/// `apt-get`, run by someone who may install.
fn apt_get() -> Result<Command> {
    if on_path("apt-get").is_none() {
        bail!("this system has no apt-get");
    }
    let is_root = output_of(Command::new("id").arg("-u")).is_ok_and(|id| id == "0");
    let mut command = if is_root {
        Command::new("apt-get")
    } else if on_path("sudo").is_some() {
        let mut sudo = Command::new("sudo");
        // Let through as an argument, since sudo drops the environment.
        sudo.args(["DEBIAN_FRONTEND=noninteractive", "apt-get"]);
        sudo
    } else {
        bail!("installing packages takes the rights of root, and there is no sudo");
    };
    command.env("DEBIAN_FRONTEND", "noninteractive");
    Ok(command)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_candidate_is_read_from_the_policy() {
        let policy =
            "rustc-web:\n  Installed: (none)\n  Candidate: 1.96.0+dfsg1-1\n  Version table:\n";
        assert_eq!(candidate_in(policy).as_deref(), Some("1.96.0+dfsg1-1"));
        let absent = "thing:\n  Installed: (none)\n  Candidate: (none)\n";
        assert_eq!(candidate_in(absent), None);
        assert_eq!(candidate_in(""), None);
    }
}
