//! Secrets in types that cannot be printed: tokens, invite secrets, passphrases and their hashes.
//!
//! A secret is shown once, by [`Secret::reveal`], in the link or cookie it is made for. What is stored is its hash: these
//! secrets are long and random, so a plain SHA-256 is enough; passphrases, which people choose, go through argon2id.

use std::fmt;

use base64::Engine as _;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use serde::Deserialize;
use sha2::{Digest, Sha256};

use crate::chance;

/// What stands in a log in place of a secret.
const HIDDEN: &str = "***";

macro_rules! hidden {
    ($($name:ident)*) => {$(
        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{}({HIDDEN})", stringify!($name))
            }
        }
    )*};
}

hidden! { Secret Passphrase PassphraseHash SecretHash AccessKey }

/// A random secret as text: the one in an invite link or in a device's cookie.
#[derive(Clone, PartialEq, Eq, Deserialize)]
#[serde(transparent)]
pub struct Secret(String);

impl Secret {
    /// A secret of 128 bits, for a link that is good once and for a week.
    pub fn for_invite() -> Self {
        Self(URL_SAFE_NO_PAD.encode(chance::bytes::<16>()))
    }

    /// A secret of 256 bits, for a device's cookie, which lives long.
    pub fn for_device() -> Self {
        Self(URL_SAFE_NO_PAD.encode(chance::bytes::<32>()))
    }

    /// A secret as somebody presented it.
    pub fn presented(text: &str) -> Self {
        Self(text.to_owned())
    }

    /// The secret itself, for the one place it is handed over.
    pub fn reveal(&self) -> &str {
        &self.0
    }

    /// What may be stored of it.
    pub fn hash(&self) -> SecretHash {
        SecretHash(Sha256::digest(self.0.as_bytes()).into())
    }
}

/// The SHA-256 of a secret. It is looked up by equality of the whole, which tells a guesser nothing about the secret.
#[derive(Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SecretHash([u8; 32]);

impl SecretHash {
    /// From stored bytes.
    pub fn from_bytes(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// The bytes to store.
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }
}

/// A passphrase as somebody typed it.
#[derive(Clone, Deserialize)]
#[serde(transparent)]
pub struct Passphrase(String);

impl Passphrase {
    /// A passphrase from text.
    pub fn typed(text: &str) -> Self {
        Self(text.to_owned())
    }

    /// The text, for hashing only.
    pub fn reveal(&self) -> &str {
        &self.0
    }
}

/// The argon2id hash of a passphrase in PHC form.
#[derive(Clone, PartialEq, Eq)]
pub struct PassphraseHash(String);

impl PassphraseHash {
    /// From its stored text.
    pub fn from_phc(text: String) -> Self {
        Self(text)
    }

    /// The text to store.
    pub fn as_phc(&self) -> &str {
        &self.0
    }
}

/// The key that signs access tokens.
#[derive(Clone)]
pub struct AccessKey(Vec<u8>);

impl AccessKey {
    /// A new key.
    pub fn fresh() -> Self {
        Self(chance::bytes::<32>().to_vec())
    }

    /// From stored bytes.
    pub fn from_bytes(bytes: Vec<u8>) -> Self {
        Self(bytes)
    }

    /// The bytes, for signing and for storing.
    pub fn as_bytes(&self) -> &[u8] {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_secret_can_be_printed() {
        let secret = Secret::for_device();
        let passphrase = Passphrase::typed("three wet boots");
        let hash = PassphraseHash::from_phc(
            "$argon2id$v=19$m=8,t=1,p=1$c2FsdHNhbHQ$aGFzaGhhc2g".to_owned(),
        );
        let printed = format!(
            "{secret:?} {:?} {passphrase:?} {hash:?} {:?}",
            secret.hash(),
            AccessKey::fresh()
        );
        assert_eq!(
            printed,
            "Secret(***) SecretHash(***) Passphrase(***) PassphraseHash(***) AccessKey(***)"
        );
    }

    #[test]
    fn secrets_have_the_promised_length_and_differ() {
        let bits = |secret: &Secret| URL_SAFE_NO_PAD.decode(secret.reveal()).unwrap().len() * 8;
        assert_eq!(bits(&Secret::for_invite()), 128);
        assert_eq!(bits(&Secret::for_device()), 256);
        assert_ne!(Secret::for_device(), Secret::for_device());
    }
}
