//! The cookie in which a device keeps its secret.

use actix_web::HttpRequest;
use actix_web::cookie::time::Duration;
use actix_web::cookie::{Cookie, SameSite};

use crate::secret::Secret;

const NAME: &str = "selion-device";

/// Browsers accept a cookie of this prefix only over https, for the whole host and from this host alone.
const NAME_OVER_HTTPS: &str = "__Host-selion-device";

/// How the device cookie is written and read.
#[derive(Clone, Copy, Debug)]
pub struct DeviceCookie {
    https: bool,
    days: i64,
}

impl DeviceCookie {
    /// A cookie good for so many days.
    pub fn new(https: bool, days: i64) -> Self {
        Self { https, days }
    }

    /// The cookie that hands a secret to a device.
    pub fn giving(self, secret: &Secret) -> Cookie<'static> {
        Cookie::build(self.name(), secret.reveal().to_owned())
            .path("/")
            .http_only(true)
            .secure(self.https)
            .same_site(SameSite::Lax)
            .max_age(Duration::days(self.days))
            .finish()
    }

    /// The secret a request brings.
    pub fn brought_by(self, request: &HttpRequest) -> Option<Secret> {
        request
            .cookie(self.name())
            .map(|cookie| Secret::presented(cookie.value()))
    }

    fn name(self) -> &'static str {
        if self.https { NAME_OVER_HTTPS } else { NAME }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn over_https_the_cookie_is_bound_to_the_host() {
        let secret = Secret::presented("abc");
        let strict = DeviceCookie::new(true, 400).giving(&secret).to_string();
        assert_eq!(
            strict,
            "__Host-selion-device=abc; HttpOnly; SameSite=Lax; Secure; Path=/; Max-Age=34560000"
        );
        let local = DeviceCookie::new(false, 400).giving(&secret).to_string();
        assert_eq!(
            local,
            "selion-device=abc; HttpOnly; SameSite=Lax; Path=/; Max-Age=34560000"
        );
    }
}
