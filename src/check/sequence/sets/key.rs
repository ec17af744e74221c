//! A quick hash for numbers that already stand for a whole state. Not for anything that comes from outside.

use std::hash::{BuildHasherDefault, Hasher};

/// Multiplies and folds; enough for keys of our own making.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct Mixer(u64);

pub(super) type KeyHash = BuildHasherDefault<Mixer>;

impl Hasher for Mixer {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }

    fn write_u64(&mut self, value: u64) {
        self.0 = (self.0.rotate_left(23) ^ value).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }

    fn write_u32(&mut self, value: u32) {
        self.write_u64(u64::from(value));
    }

    fn write_usize(&mut self, value: usize) {
        self.write_u64(value as u64);
    }

    fn write_u128(&mut self, value: u128) {
        let bytes = value.to_le_bytes();
        for half in bytes.chunks_exact(8) {
            self.write_u64(
                half.iter()
                    .rev()
                    .fold(0, |sum, byte| (sum << 8) | u64::from(*byte)),
            );
        }
    }
}
