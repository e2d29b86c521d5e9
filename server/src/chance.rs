//! The system's randomness: the only place that asks for it.

/// So many unguessable bytes.
///
/// # Panics
///
/// When the system gives none: such a machine cannot keep a secret either, so there is nothing to fall back to.
#[expect(
    clippy::expect_used,
    reason = "without randomness no secret can be made; going on would be worse than stopping"
)]
pub fn bytes<const N: usize>() -> [u8; N] {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).expect("the system gives random bytes");
    bytes
}
