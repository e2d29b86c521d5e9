//! Chance that nobody can foresee, for ids and secrets.

use super::{Trouble, thrown, window};

/// So many random bytes.
pub fn bytes<const N: usize>() -> Result<[u8; N], Trouble> {
    let crypto = window()?
        .crypto()
        .map_err(|_not_there| Trouble::Missing("random numbers"))?;
    let mut drawn = [0; N];
    crypto
        .get_random_values_with_u8_array(&mut drawn)
        .map_err(thrown)?;
    Ok(drawn)
}

/// A number from 0 up to, but without, 1: for spreading retries, not for secrets.
pub fn fraction() -> f64 {
    js_sys::Math::random()
}
