//! Every setting and every limit of the service, with its default and why.

use std::net::{IpAddr, Ipv4Addr};
use std::path::PathBuf;
use std::time::Duration;

use thiserror::Error;

/// What whoever runs the service chooses.
#[derive(Clone, Debug)]
pub struct Config {
    /// The folder of data: one file and its log. Backing it up backs up everything.
    pub data: PathBuf,
    /// The address to listen on. Only this machine by default: a reverse proxy with a certificate stands in front.
    pub host: IpAddr,
    /// The port; 0 lets the system choose one.
    pub port: u16,
    /// The address people type, when it is not the one listened on. `https` turns on the cookie's and headers' strict forms.
    pub public_origin: Option<Origin>,
    /// The header in which a reverse proxy hands on its caller's address. Believed only when set here: anybody can send it.
    pub client_address_header: Option<String>,
    /// Threads that answer requests. Two are plenty: the work is done by the keeper's thread.
    pub workers: usize,
    /// Whether the signals by which systems stop programs stop the service; tests that run several want no such thing.
    pub stop_on_signals: bool,
    /// How long requests under way may take when the service is asked to stop.
    pub stop_within: Duration,
    /// The limits.
    pub limits: Limits,
}

impl Config {
    /// The defaults for a data folder.
    pub fn for_data(data: PathBuf) -> Self {
        Self {
            data,
            host: IpAddr::V4(Ipv4Addr::LOCALHOST),
            port: 8080,
            public_origin: None,
            client_address_header: None,
            workers: 2,
            stop_on_signals: false,
            stop_within: Duration::from_secs(10),
            limits: Limits::default(),
        }
    }
}

/// How much of anything the service takes.
#[derive(Clone, Debug)]
pub struct Limits {
    /// The body of an ordinary request. The largest is a passphrase with names, well under 1 KB.
    pub json_body: usize,
    /// One frame, over the socket or inside a request. A batch of edits is at most 48 KB; the rest is room for its wrapping.
    pub frame: usize,
    /// Frames in one request to the HTTPS way of syncing.
    pub frames_in_request: usize,
    /// How long a new socket may wait before it says hello.
    pub hello_within: Duration,
    /// How long a socket may be silent. Phones ping every 25 seconds.
    pub silence: Duration,
    /// Connections of one device to one garden. A phone has one; a reload may overlap with the old one for a moment.
    pub sockets_of_device: usize,
    /// Frames waiting for a slow socket before they are dropped and the phone is told to begin again from its cursor.
    pub queued_frames: usize,
    /// Bytes waiting for a slow socket, to the same end.
    pub queued_bytes: usize,
    /// Requests waiting for the keeper before callers are told to come back.
    pub queued_requests: usize,
    /// Edits written in one transaction: whatever has arrived while the last one was written, at most so many.
    pub edits_in_commit: usize,
    /// Edits of one device: so many at once ...
    pub edit_burst: u32,
    /// ... and so many a minute after that. A phone back from weeks away may bring some hundreds.
    pub edits_a_minute: u32,
    /// Changes of a document between two snapshots.
    pub changes_between_snapshots: u64,
    /// Bytes of open gardens kept in memory; the longest unused are closed first.
    pub open_garden_bytes: usize,
    /// Tries to look at or use an invite, or to sign in, by one address: so many at once ...
    pub tries_at_once: u32,
    /// ... and so many a minute after that.
    pub tries_a_minute: u32,
    /// One picture under a plan, in bytes. Phones shrink theirs to half of that.
    pub picture_bytes: usize,
    /// Pictures of one garden; the oldest that the plan does not use goes when another comes.
    pub pictures: usize,
    /// Days an invite to a garden is good.
    pub invite_days: i64,
    /// Minutes a link for a further device is good.
    pub device_link_minutes: i64,
    /// Unused invites of one garden. A coordinator inviting a whole village at once still fits.
    pub open_invites: usize,

    /// Minutes an access token is good.
    pub access_minutes: i64,
    /// Days a device's cookie is good; browsers cut off at 400.
    pub cookie_days: i64,
    /// Passphrases hashed at the same time: each takes 19 MB and a core.
    pub passphrases_at_once: usize,
    /// The fewest characters of a passphrase.
    pub passphrase_min: usize,
    /// The most bytes of a passphrase, so that hashing cannot be made slow.
    pub passphrase_max: usize,
    /// The most characters of a name of a person, device or garden.
    pub name_max: usize,
    /// The largest file taken by an import: a garden of ten busy years has some 100 MB.
    pub import_file: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            json_body: 16 * 1024,
            frame: 64 * 1024,
            frames_in_request: 8,
            hello_within: Duration::from_secs(5),
            silence: Duration::from_secs(75),
            sockets_of_device: 4,
            queued_frames: 256,
            queued_bytes: 4 * 1024 * 1024,
            queued_requests: 1024,
            edits_in_commit: 200,
            edit_burst: 2_000,
            edits_a_minute: 600,
            changes_between_snapshots: 500,
            open_garden_bytes: 512 * 1024 * 1024,
            tries_at_once: 10,
            tries_a_minute: 10,
            invite_days: 7,
            device_link_minutes: 10,
            picture_bytes: 1_500_000,
            pictures: 4,
            open_invites: 200,
            access_minutes: 15,
            cookie_days: 400,
            passphrases_at_once: 2,
            passphrase_min: 10,
            passphrase_max: 256,
            name_max: 80,
            import_file: 256 * 1024 * 1024,
        }
    }
}

/// A scheme, host and port, as browsers write them in the `Origin` header.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin(String);

/// What is no origin.
#[derive(Debug, Error)]
#[error(
    "the public origin must be http://HOST or https://HOST with at most a port behind it, not \"{0}\""
)]
pub struct NoOrigin(String);

impl Origin {
    /// Reads an origin such as `https://garden.example.org`.
    pub fn parse(text: &str) -> Result<Self, NoOrigin> {
        let bad = || NoOrigin(text.chars().take(100).collect());
        let uri: actix_web::http::Uri = text.parse().map_err(|_no_address| bad())?;
        let parts = uri.into_parts();
        let scheme = parts.scheme.ok_or_else(bad)?;
        let authority = parts.authority.ok_or_else(bad)?;
        let bare = parts.path_and_query.is_none_or(|path| path.as_str() == "/");
        let known = scheme.as_str() == "http" || scheme.as_str() == "https";
        if !bare || !known || authority.as_str().contains('@') || text.ends_with('?') {
            return Err(bad());
        }
        let port = match (scheme.as_str(), authority.port_u16()) {
            (_, None) | ("http", Some(80)) | ("https", Some(443)) => String::new(),
            (_, Some(port)) => format!(":{port}"),
        };
        Ok(Self(format!(
            "{scheme}://{}{port}",
            authority.host().to_ascii_lowercase()
        )))
    }

    /// Over plain HTTP on a port of this machine.
    pub fn local(host: &str, port: u16) -> Self {
        Self(format!("http://{host}:{port}"))
    }

    /// Whether connections are encrypted.
    pub fn is_https(&self) -> bool {
        self.0.starts_with("https://")
    }

    /// As text, without a slash at the end.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn origins_are_written_as_browsers_write_them() {
        for (typed, written) in [
            ("https://Garden.Example.org", "https://garden.example.org"),
            (
                "https://garden.example.org:443/",
                "https://garden.example.org",
            ),
            ("http://localhost:8080", "http://localhost:8080"),
        ] {
            assert_eq!(Origin::parse(typed).unwrap().as_str(), written);
        }
    }

    #[test]
    fn what_is_no_origin_is_refused_in_one_sentence() {
        for typed in [
            "garden.example.org",
            "ftp://garden",
            "https://garden/x",
            "https://a@garden",
            "",
            "https://",
            "https://garden?",
        ] {
            let sentence = Origin::parse(typed).unwrap_err().to_string();
            assert!(
                sentence.contains("must be http://HOST"),
                "{typed}: {sentence}"
            );
        }
    }
}
