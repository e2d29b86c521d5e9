//! `selion serve`: the service itself.

use std::io::{IsTerminal as _, Write};
use std::net::IpAddr;

use tracing_subscriber::EnvFilter;

use super::{CommandError, DataFolder, system_clock};
use crate::config::{Config, Origin};
use crate::service::{Running, start};

#[derive(Debug, clap::Args)]
pub(super) struct Serve {
    #[command(flatten)]
    folder: DataFolder,
    #[command(flatten)]
    listen: Listen,
}

/// Where the service listens and what people type.
#[derive(Debug, clap::Args)]
pub(super) struct Listen {
    /// The port.
    #[arg(long, default_value_t = 8080)]
    port: u16,
    /// The address to listen on; leave it when a reverse proxy on this machine stands in front.
    #[arg(long, default_value = "127.0.0.1")]
    host: IpAddr,
    /// What people type to get here, such as <https://garden.example.org>, when it differs.
    #[arg(long, value_name = "URL")]
    public_origin: Option<String>,
    /// The header in which the reverse proxy hands on its caller's address, such as X-Forwarded-For.
    #[arg(long, value_name = "NAME")]
    client_address_header: Option<String>,
}

impl Serve {
    pub(super) fn run(self, out: &mut dyn Write) -> Result<(), CommandError> {
        write_log_to_stderr();
        let running = self.listen.start(self.folder)?;
        if running.is_empty()? {
            writeln!(
                out,
                "There is no garden yet. With this link, once and within seven days, you can make one:"
            )?;
            writeln!(out, "{}", running.new_garden_link()?)?;
        }
        announce(&running, out)?;
        running.wait();
        Ok(())
    }
}

impl Listen {
    pub(super) fn start(self, folder: DataFolder) -> Result<Running, CommandError> {
        let config = Config {
            host: self.host,
            port: self.port,
            public_origin: self
                .public_origin
                .as_deref()
                .map(Origin::parse)
                .transpose()?,
            client_address_header: self.client_address_header,
            stop_on_signals: true,
            ..Config::for_data(folder.data)
        };
        Ok(start(config, system_clock())?)
    }
}

/// Says where the service is; whoever started it may wait for this line.
pub(super) fn announce(running: &Running, out: &mut dyn Write) -> Result<(), CommandError> {
    writeln!(
        out,
        "Selion runs at {} (listening on {}).",
        running.link("/"),
        running.addr()
    )?;
    out.flush()?;
    Ok(())
}

/// Sends the log to standard error; `RUST_LOG` chooses how much.
pub(super) fn write_log_to_stderr() {
    let filter = EnvFilter::try_from_default_env()
        .unwrap_or_else(|_unset| EnvFilter::new("info,actix_server=warn"));
    let log = tracing_subscriber::fmt()
        .with_env_filter(filter)
        .with_writer(std::io::stderr)
        .with_ansi(std::io::stderr().is_terminal());
    if log.try_init().is_err() {
        tracing::debug!("the log goes elsewhere already");
    }
}
