//! Passphrases: argon2id, a few at a time, away from the threads that answer requests.

use std::fmt;
use std::sync::Arc;

use actix_web::web;
use argon2::{Argon2, PasswordHash, PasswordHasher as _, PasswordVerifier as _};
use tokio::sync::Semaphore;

use crate::config::Limits;
use crate::error::AppError;
use crate::secret::{Passphrase, PassphraseHash};

/// Hashes and checks passphrases.
pub struct Passphrases {
    places: Arc<Semaphore>,
    min: usize,
    max: usize,
    /// Checked against when nobody has the name, so that the time taken tells nothing.
    nobody: PassphraseHash,
}

impl Passphrases {
    /// Within the limits. Takes one hashing's time.
    pub fn new(limits: &Limits) -> Result<Self, AppError> {
        Ok(Self {
            places: Arc::new(Semaphore::new(limits.passphrases_at_once)),
            min: limits.passphrase_min,
            max: limits.passphrase_max,
            nobody: hash(&Passphrase::typed("nobody has this passphrase"))?,
        })
    }

    /// The hash of a new passphrase, if it is long enough.
    pub async fn hash_new(&self, passphrase: Passphrase) -> Result<PassphraseHash, AppError> {
        let came = passphrase.reveal().chars().count();
        if came < self.min {
            let sentence = format!(
                "The passphrase must have at least {} characters, this one has {came}.",
                self.min
            );
            return Err(AppError::BadRequest(sentence));
        }
        self.refuse_overlong(&passphrase)?;
        self.in_turn(move || hash(&passphrase)).await?
    }

    /// Whether a passphrase is the one that was hashed. Without a hash it takes as long and is not.
    pub async fn matches(
        &self,
        passphrase: Passphrase,
        hash: Option<PassphraseHash>,
    ) -> Result<bool, AppError> {
        self.refuse_overlong(&passphrase)?;
        let known = hash.is_some();
        let hash = hash.unwrap_or_else(|| self.nobody.clone());
        let right = self.in_turn(move || verify(&passphrase, &hash)).await?;
        Ok(right && known)
    }

    fn refuse_overlong(&self, passphrase: &Passphrase) -> Result<(), AppError> {
        let came = passphrase.reveal().len();
        if came > self.max {
            let sentence = format!(
                "The passphrase must have at most {} bytes, this one has {came}.",
                self.max
            );
            return Err(AppError::BadRequest(sentence));
        }
        Ok(())
    }

    async fn in_turn<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, AppError> {
        let place = Arc::clone(&self.places)
            .acquire_owned()
            .await
            .map_err(|_closed| AppError::Busy)?;
        web::block(move || {
            let _until_done = place;
            work()
        })
        .await
        .map_err(|_stopping| AppError::Busy)
    }
}

impl fmt::Debug for Passphrases {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Passphrases")
            .field("min", &self.min)
            .finish_non_exhaustive()
    }
}

/// The library's defaults are argon2id, 19 MiB, two passes: the OWASP minimum.
fn hash(passphrase: &Passphrase) -> Result<PassphraseHash, AppError> {
    let hash = Argon2::default()
        .hash_password(passphrase.reveal().as_bytes())
        .map_err(|error| {
            tracing::error!(%error, "cannot hash a passphrase");
            AppError::Broken
        })?;
    Ok(PassphraseHash::from_phc(hash.to_string()))
}

fn verify(passphrase: &Passphrase, hash: &PassphraseHash) -> bool {
    PasswordHash::new(hash.as_phc()).is_ok_and(|hash| {
        Argon2::default()
            .verify_password(passphrase.reveal().as_bytes(), &hash)
            .is_ok()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[actix_web::test]
    async fn the_right_passphrase_matches_and_nothing_else() {
        let passphrases = Passphrases::new(&Limits::default()).unwrap();
        let hash = passphrases
            .hash_new(Passphrase::typed("three wet boots"))
            .await
            .unwrap();
        assert!(hash.as_phc().starts_with("$argon2id$v=19$m=19456,t=2,p=1$"));
        assert!(
            passphrases
                .matches(Passphrase::typed("three wet boots"), Some(hash.clone()))
                .await
                .unwrap()
        );
        assert!(
            !passphrases
                .matches(Passphrase::typed("Three wet boots"), Some(hash))
                .await
                .unwrap()
        );
        let nobody = Passphrase::typed("nobody has this passphrase");
        assert!(
            !passphrases.matches(nobody, None).await.unwrap(),
            "the stand-in hash opens nothing"
        );
    }

    #[actix_web::test]
    async fn too_short_and_too_long_are_told_in_one_sentence() {
        let passphrases = Passphrases::new(&Limits::default()).unwrap();
        let short = passphrases
            .hash_new(Passphrase::typed("nine char"))
            .await
            .unwrap_err();
        assert_eq!(
            short.to_string(),
            "The passphrase must have at least 10 characters, this one has 9."
        );
        let long = passphrases
            .hash_new(Passphrase::typed(&"x".repeat(257)))
            .await
            .unwrap_err();
        assert_eq!(
            long.to_string(),
            "The passphrase must have at most 256 bytes, this one has 257."
        );
    }
}
