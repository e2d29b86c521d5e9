//! What every request can reach.

use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};

use crate::auth::{AccessTokens, Buckets, DeviceCookie, Origins, Passphrases};
use crate::clock::SharedClock;
use crate::config::Config;
use crate::error::AppError;
use crate::rooms::Keeper;
use crate::store::readers::Readers;

/// The service's parts, shared by all its threads.
#[derive(Debug)]
pub struct State {
    /// The settings and limits.
    pub config: Config,
    /// The origins whose pages are ours.
    pub origins: Origins,
    /// How the device cookie is written and read.
    pub cookie: DeviceCookie,
    /// Makes and reads access tokens.
    pub access: AccessTokens,
    /// Hashes and checks passphrases.
    pub passphrases: Passphrases,
    /// Questions to the store.
    pub readers: Readers,
    /// The way to the single writer.
    pub keeper: Keeper,
    /// The time.
    pub clock: Time,
    /// Tries of invites and passphrases, by address.
    pub tries: Mutex<Buckets<IpAddr>>,
}

impl State {
    /// Counts a try from an address, or says that it was too often.
    pub fn try_from_address(&self, address: IpAddr) -> Result<(), AppError> {
        let mut tries = self.tries.lock().unwrap_or_else(PoisonError::into_inner);
        let taken = tries.take(network_of(address), 1, self.clock.0.now());
        taken.map_err(|millis| AppError::TooOften {
            seconds: millis.div_ceil(1_000),
        })
    }
}

/// The clock, in a form that can be printed.
pub struct Time(pub SharedClock);

impl std::fmt::Debug for Time {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Time({})", self.0.now().millis())
    }
}

/// An address as limits count it: a household has a whole /64 of version 6, so its addresses count as one.
fn network_of(address: IpAddr) -> IpAddr {
    match address {
        IpAddr::V4(_) => address,
        IpAddr::V6(six) => match six.to_ipv4_mapped() {
            Some(four) => IpAddr::V4(four),
            None => IpAddr::V6((six.to_bits() & (u128::MAX << 64)).into()),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_of_one_household_count_as_one() {
        let network = |text: &str| network_of(text.parse().unwrap()).to_string();
        assert_eq!(network("192.0.2.7"), "192.0.2.7");
        assert_eq!(network("::ffff:192.0.2.7"), "192.0.2.7");
        assert_eq!(network("2001:db8:1:2:3:4:5:6"), "2001:db8:1:2::");
    }
}
