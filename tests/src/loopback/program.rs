//! Starting, killing and watching the service's process.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;

use selion_server::clock::SystemClock;
use selion_server::config::Config;

use super::Outcome;

/// What the service's process writes once it answers; its address and a link to make a garden follow.
const READY: &str = "selion-answers-at";
/// The header by which each simulated device seems to come from an address of its own, as behind a reverse proxy;
/// otherwise the limit on tries would slow all of them down as one.
pub(super) const ADDRESS_HEADER: &str = "X-Forwarded-For";

/// A process of the service. Dropping it kills it.
#[derive(Debug)]
pub struct Program {
    child: Child,
    base: String,
    secret: String,
}

impl Program {
    /// Starts a command that ends up in [`serve`], and waits until it answers.
    pub fn start(mut command: Command) -> Outcome<Self> {
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()?;
        let out = child.stdout.take().ok_or("the process has no output")?;
        let mut lines = BufReader::new(out).lines();
        let said = loop {
            let line = lines
                .next()
                .ok_or("the process ended before it answered")??;
            if let Some((_, said)) = line.split_once(READY) {
                break said.to_owned();
            }
        };
        let mut words = said.split_whitespace();
        let (Some(base), Some(secret)) = (words.next(), words.next()) else {
            return Err("the process did not say where it is".into());
        };
        Ok(Self {
            child,
            base: base.to_owned(),
            secret: secret.to_owned(),
        })
    }

    /// Its address, such as `http://127.0.0.1:4711`.
    pub fn base(&self) -> &str {
        &self.base
    }

    /// The secret with which a garden can be made.
    pub fn secret(&self) -> &str {
        &self.secret
    }

    /// Kills it at once, in the middle of whatever it does.
    pub fn kill(mut self) -> Outcome<()> {
        self.child.kill()?;
        self.child.wait()?;
        Ok(())
    }

    /// The most memory it ever had, in KiB, as Linux counts it.
    pub fn peak_memory_kib(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
        line.split_whitespace().nth(1)?.parse().ok()
    }
}

impl Drop for Program {
    fn drop(&mut self) {
        // It may be dead already.
        let _dead = self.child.kill();
        let _gone = self.child.wait();
    }
}

/// Is the service, on this data, until the standard input ends: with whoever started it.
pub fn serve(data: &Path) -> Outcome<()> {
    let config = Config {
        port: 0,
        client_address_header: Some(ADDRESS_HEADER.to_owned()),
        ..Config::for_data(data.to_owned())
    };
    let running = selion_server::start(config, Arc::new(SystemClock))?;
    let link = running.new_garden_link()?;
    let (base, secret) = link.split_once("/join#").ok_or("a link without a secret")?;
    writeln!(std::io::stdout(), "{READY} {base} {secret}")?;
    std::io::stdout().flush()?;
    std::io::stdin().read_to_end(&mut Vec::new())?;
    running.stop();
    Ok(())
}
