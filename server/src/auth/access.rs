//! Short access tokens: which device of which person, until when, signed.
//!
//! A token is only a quarter of an hour of convenience. Whether the device is still welcome is looked up at every
//! request, so a revoked device's token is worth nothing.

use std::fmt;

use jsonwebtoken::{Algorithm, DecodingKey, EncodingKey, Header, Validation, decode, encode};
use selion_core::quantities::Moment;
use serde::{Deserialize, Serialize};

use crate::error::AppError;
use crate::ids::DeviceId;
use crate::secret::AccessKey;

const ISSUER: &str = "selion";
const AUDIENCE: &str = "selion-api";

/// Makes and reads access tokens.
pub struct AccessTokens {
    sign: EncodingKey,
    check: DecodingKey,
    rules: Validation,
    good_for_millis: i64,
}

/// What a token says.
#[derive(Serialize, Deserialize)]
struct Claims {
    sub: DeviceId,
    iss: String,
    aud: String,
    exp: i64,
}

impl AccessTokens {
    /// Tokens signed by this key, good for so many minutes.
    pub fn new(key: &AccessKey, minutes: i64) -> Self {
        let mut rules = Validation::new(Algorithm::HS256);
        rules.set_audience(&[AUDIENCE]);
        rules.set_issuer(&[ISSUER]);
        rules.set_required_spec_claims(&["exp", "sub", "iss", "aud"]);
        // The library would ask the machine's clock; the end is checked below against the service's own.
        rules.validate_exp = false;
        rules.leeway = 0;
        Self {
            sign: EncodingKey::from_secret(key.as_bytes()),
            check: DecodingKey::from_secret(key.as_bytes()),
            rules,
            good_for_millis: minutes * 60_000,
        }
    }

    /// A token for a device, and until when it is good.
    pub fn issue(&self, device: DeviceId, now: Moment) -> Result<(String, Moment), AppError> {
        let end = now.plus_millis(self.good_for_millis).millis() / 1000;
        let claims = Claims {
            sub: device,
            iss: ISSUER.to_owned(),
            aud: AUDIENCE.to_owned(),
            exp: end,
        };
        let token =
            encode(&Header::new(Algorithm::HS256), &claims, &self.sign).map_err(|error| {
                tracing::error!(%error, "cannot sign an access token");
                AppError::Broken
            })?;
        Ok((token, Moment::from_millis(end * 1000)))
    }

    /// The device a token was made for, if it is ours and still good.
    pub fn read(&self, token: &str, now: Moment) -> Result<DeviceId, AppError> {
        let data = decode::<Claims>(token, &self.check, &self.rules).map_err(|error| {
            tracing::debug!(%error, "an access token was refused");
            AppError::NotSignedIn
        })?;
        if data.claims.exp <= now.millis() / 1000 {
            return Err(AppError::NotSignedIn);
        }
        Ok(data.claims.sub)
    }
}

impl fmt::Debug for AccessTokens {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("AccessTokens")
            .field("good_for_millis", &self.good_for_millis)
            .finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(seconds: i64) -> Moment {
        Moment::from_millis(1_800_000_000_000 + seconds * 1000)
    }

    #[test]
    fn a_token_is_good_for_its_minutes_and_not_a_second_more() {
        let tokens = AccessTokens::new(&AccessKey::fresh(), 15);
        let device = DeviceId::fresh(at(0));
        let (token, end) = tokens.issue(device, at(0)).unwrap();
        assert_eq!(end, at(900));
        assert_eq!(tokens.read(&token, at(899)).unwrap(), device);
        assert!(tokens.read(&token, at(900)).is_err());
    }

    #[test]
    fn a_token_of_another_key_another_algorithm_or_another_audience_is_refused() {
        let key = AccessKey::fresh();
        let tokens = AccessTokens::new(&key, 15);
        let device = DeviceId::fresh(at(0));
        let (foreign, _) = AccessTokens::new(&AccessKey::fresh(), 15)
            .issue(device, at(0))
            .unwrap();
        assert!(tokens.read(&foreign, at(0)).is_err());

        let signed = |algorithm, issuer: &str, audience: &str| {
            let exp = at(900).millis() / 1000;
            let claims = Claims {
                sub: device,
                iss: issuer.to_owned(),
                aud: audience.to_owned(),
                exp,
            };
            encode(
                &Header::new(algorithm),
                &claims,
                &EncodingKey::from_secret(key.as_bytes()),
            )
            .unwrap()
        };
        assert!(
            tokens
                .read(&signed(Algorithm::HS256, ISSUER, AUDIENCE), at(0))
                .is_ok()
        );
        assert!(
            tokens
                .read(&signed(Algorithm::HS512, ISSUER, AUDIENCE), at(0))
                .is_err()
        );
        assert!(
            tokens
                .read(&signed(Algorithm::HS256, "elsewhere", AUDIENCE), at(0))
                .is_err()
        );
        assert!(
            tokens
                .read(&signed(Algorithm::HS256, ISSUER, "another-api"), at(0))
                .is_err()
        );

        // RFC 7519 section 6: an unsecured token has algorithm "none" and an empty signature.
        let good = signed(Algorithm::HS256, ISSUER, AUDIENCE);
        let payload = good.split('.').nth(1).unwrap();
        assert!(
            tokens
                .read(&format!("eyJhbGciOiJub25lIn0.{payload}."), at(0))
                .is_err()
        );
    }
}
