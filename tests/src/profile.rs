//! The textbook plan: a backward and a forward pass over all junctions, in double precision.
//!
//! L. Consolini, M. Locatelli, A. Minari, A. Piazzi, *An optimal complexity algorithm for
//! minimum-time velocity planning*, Systems & Control Letters, 2017, shows that the two passes
//! find the largest plan (from memory).

/// One move of a plan, in mm, mm/s and mm/s².
#[derive(Clone, Copy, Debug)]
pub struct Stretch {
    /// Length.
    pub length: f64,
    /// Highest speed.
    pub cap: f64,
    /// Acceleration along it.
    pub acceleration: f64,
    /// Most v² where it begins.
    pub entry: f64,
    /// The v² at which a bend along it leaves no acceleration; infinite where it is straight.
    pub bend: f64,
}

/// The most that a bend takes of the acceleration of a profile.
const MOST_TURN: f64 = 0.97;

impl Stretch {
    /// How much v² can change over it.
    pub fn change(&self) -> f64 {
        2.0 * self.acceleration * self.length
    }

    /// By what part of v² less it can change where the bend takes its share.
    pub fn share(&self) -> f64 {
        self.change() / self.bend
    }

    /// Acceleration of the profile from v² = `b0` to v² = `b1`: what the bend leaves at the highest
    /// speed, and at least what the ends need.
    fn rate(&self, b0: f64, b1: f64) -> f64 {
        if self.bend.is_infinite() {
            return self.acceleration;
        }
        // Where b = (b0 + b1)/2 + a·(1 − b/bend)·l.
        let peak = (0.5 * (b0 + b1) + 0.5 * self.change()) / (1.0 + 0.5 * self.share());
        let highest = peak.min(self.cap * self.cap).max(b0).max(b1);
        let left = 1.0 - (highest / self.bend).min(MOST_TURN);
        (self.acceleration * left).max((b1 - b0).abs() / (2.0 * self.length))
    }

    /// The fastest time from v² = `b0` to v² = `b1`.
    pub fn time(&self, b0: f64, b1: f64) -> f64 {
        let (v0, v1) = (b0.sqrt(), b1.sqrt());
        let rate = self.rate(b0, b1);
        let peak2 = 0.5 * (b0 + b1) + rate * self.length;
        let peak = peak2.sqrt().min(self.cap).max(v0).max(v1);
        let ramps = (2.0 * peak * peak - b0 - b1) / (2.0 * rate);
        // The difference can vanish: what rounding leaves below zero is no way back.
        let cruise = (self.length - ramps).max(0.0) / peak;
        (2.0 * peak - v0 - v1) / rate + cruise
    }
}

/// v² at every junction, from the start to the end, both of which are at rest. `rounding` is by
/// what part a value may come out larger (or, negative, smaller) at each move of the forward pass.
pub fn two_pass(entries: &[f64], changes: &[f64], rounding: impl Fn(usize) -> f64) -> Vec<f64> {
    let n = entries.len();
    let mut b: Vec<f64> = entries.to_vec();
    b.push(0.0);
    for k in (0..n).rev() {
        b[k] = b[k].min(b[k + 1] + changes[k]);
    }
    b[0] = 0.0;
    for k in 0..n {
        b[k + 1] = b[k + 1].min(b[k] + changes[k]) * (1.0 + rounding(k));
    }
    b
}

/// The largest plan of all the moves together.
pub fn largest(stretches: &[Stretch]) -> Vec<f64> {
    let entries: Vec<f64> = stretches.iter().map(|s| s.entry).collect();
    let changes: Vec<f64> = stretches.iter().map(Stretch::change).collect();
    two_pass(&entries, &changes, |_| 0.0)
}

/// The plan of a queue that holds `depth` moves and is refilled whenever one is done: each move
/// ends as fast as the moves then in the queue allow, with rest at the end of the queue.
/// `rounding` is as for [`two_pass`].
pub fn windowed(
    entries: &[f64],
    changes: &[f64],
    depth: usize,
    rounding: impl Fn(usize) -> f64,
) -> Vec<f64> {
    let n = entries.len();
    let mut b = vec![0.0];
    for k in 0..n {
        let mut bound = 0.0;
        for j in (k + 1..n.min(k + depth)).rev() {
            bound = f64::min(bound + changes[j], entries[j]);
        }
        b.push(f64::min(bound, b[k] + changes[k]) * (1.0 + rounding(k)));
    }
    b
}

/// How long a plan takes, s.
pub fn time(stretches: &[Stretch], b: &[f64]) -> f64 {
    stretches
        .iter()
        .enumerate()
        .map(|(k, stretch)| stretch.time(b[k], b[k + 1]))
        .sum()
}
