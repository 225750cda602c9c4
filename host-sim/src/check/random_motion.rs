//! Pulses of an axis that moves at random, for tests of what is left out: the same must be found with it.

/// A source of numbers that look random, and are the same in each run.
pub(super) struct Random(u64);

impl Random {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// From 0 to 1.
    pub fn part(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// From −1 to 1.
    pub fn side(&mut self) -> f64 {
        2.0 * self.part() - 1.0
    }
}

/// Step, mm, and limit of speed, mm/tick, of a coarse axis, and of a fine one.
pub(super) const COARSE: (f64, f64) = (0.0125, 1e-4);
pub(super) const FINE: (f64, f64) = (2e-4, 1.2e-5);
/// Limit of acceleration, mm/tick².
pub(super) const LIMIT: f64 = 8e-10;
/// Junction deviation, mm, and what follows for T, ticks.
pub(super) const DEVIATION: f64 = 0.02;
pub(super) const SPAN: f64 = 14142.0;

/// Times, ticks, and positions, mm, of so many pulses: it rests, cruises, speeds up within the limit and a
/// little beyond, and at times jumps from one speed to another.
pub(super) fn pulses(
    random: &mut Random,
    (step, speed): (f64, f64),
    count: usize,
) -> Vec<(f64, f64)> {
    // Less than a step at the limit of speed.
    const SLICE: f64 = 10.0;
    let mut found = Vec::new();
    let (mut t, mut x, mut v, mut a, mut until) = (0.0, 0.0, 0.0, 0.0, 0.0);
    while found.len() < count {
        if t >= until {
            until = t + SPAN * (0.1 + 4.0 * random.part());
            let kind = random.part();
            a = if kind < 0.5 {
                LIMIT * random.side() * 1.05
            } else {
                0.0
            };
            if kind > 0.9 {
                v = speed * random.side();
            }
        }
        if f64::abs(v + a * SLICE) > speed {
            a = 0.0;
        }
        v += a * SLICE;
        let to: f64 = x + v * SLICE;
        let (before, after) = ((x / step).round(), (to / step).round());
        if before != after {
            let at = step * (before + after) / 2.0;
            found.push(((t + (at - x) / v).round(), at));
        }
        (t, x) = (t + SLICE, to);
    }
    found
}
