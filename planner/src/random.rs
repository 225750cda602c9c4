//! Random numbers for tests, the same each time.

/// A linear congruence (Knuth, *The Art of Computer Programming*, vol. 2, 3.3.4; from memory).
pub(crate) struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// From 0 up to 1.
    pub fn part(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn within(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * self.part()
    }

    /// All sizes alike.
    pub fn of_any_size(&mut self, least: f64, most: f64) -> f64 {
        least * (most / least).powf(self.part())
    }

    pub fn chance(&mut self, of: f64) -> bool {
        self.part() < of
    }
}
