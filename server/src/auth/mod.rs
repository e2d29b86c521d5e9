//! Who is asking: the proofs that a handler takes as arguments, and what stands behind them.
//!
//! A device keeps a long secret in a cookie that scripts cannot read. It trades the cookie for a short access token, and
//! every other request carries that token: a page of another site can make a browser send the cookie, but never the
//! token. The cookie itself opens only what cannot carry a header (the socket) or must renew (the token, a new link).

mod access;
mod buckets;
mod caller;
mod cookie;
mod origin;
mod passphrase;

pub use access::AccessTokens;
pub use buckets::Buckets;
pub use caller::{ByCookie, Caller, FewTries, IfSignedIn, MemberOf, MemberSocket, SignedIn};
pub use cookie::DeviceCookie;
pub use origin::{Origins, refuse_other_sites};
pub use passphrase::Passphrases;
