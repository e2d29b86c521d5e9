//! A mark of what somebody saw, so that nothing is closed that differs from it.

use crate::document::records::Payer;

/// A 64-bit FNV-1a sum. It guards against closing unseen changes, not against malice: who may close may see.
pub(super) struct Mark(u64);

impl Mark {
    pub(super) fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    pub(super) fn bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }

    pub(super) fn number(&mut self, number: i64) {
        self.bytes(&number.to_le_bytes());
    }

    pub(super) fn payer(&mut self, payer: Payer) {
        self.bytes(payer.to_string().as_bytes());
    }

    pub(super) fn text(&self) -> String {
        format!("{:016x}", self.0)
    }
}
