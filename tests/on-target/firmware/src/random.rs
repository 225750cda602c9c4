//! Numbers that look random, the same each time.

/// A generator (xorshift; G. Marsaglia, Journal of Statistical Software 8(14), 2003, from memory).
pub struct Random(u32);

impl Default for Random {
    fn default() -> Self {
        Self(0x9e37_79b9)
    }
}

impl Random {
    /// A number from 0 to below `bound`.
    pub fn below(&mut self, bound: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        ((u64::from(self.0) * u64::from(bound)) >> 32) as u32
    }
}
