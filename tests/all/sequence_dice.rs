//! Numbers without pattern from a fixed start, so that a failing case can be made again.

pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    /// A number from `low` to `high`, both included.
    pub(crate) fn roll(&mut self, low: i64, high: i64) -> i64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + i64::try_from((self.0 >> 11) % u64::try_from(high - low + 1).unwrap()).unwrap()
    }
}
