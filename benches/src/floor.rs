//! The floors: only the arithmetic that cannot be avoided. The firmware for the emulated boards counts
//! the same file.

use spokeshave::{Machine, Point};

/// For each move one length, one direction and one corner. What slows a curve of short moves, braking
/// and the queue are not in it.
#[derive(Debug)]
pub struct Moves {
    at: Point<3>,
    heading: [f32; 3],
}

impl Moves {
    /// At `from`, heading along x.
    pub fn new(from: Point<3>) -> Self {
        Self {
            at: from,
            heading: [1.0, 0.0, 0.0],
        }
    }

    /// The next move: v² of its corner and its length as a sum, so that nothing is optimised away.
    pub fn next(&mut self, machine: &Machine<3>, to: Point<3>, sqrt: impl Fn(f32) -> f32) -> f32 {
        let way: [f32; 3] =
            core::array::from_fn(|i| (to[i].counts() - self.at[i].counts()) as f32 / 131_072.0);
        let length = sqrt(way.iter().map(|x| x * x).sum::<f32>());
        let heading = way.map(|x| x / length);
        let change: [f32; 3] = core::array::from_fn(|i| heading[i] - self.heading[i]);
        let width = sqrt(change.iter().map(|x| x * x).sum::<f32>());
        let acceleration = (0..3)
            .map(|i| machine.axes()[i].acceleration_limit * width / change[i].abs())
            .fold(f32::INFINITY, f32::min);
        let s2 = 0.25 * width * width;
        let c = sqrt((1.0 - s2).max(0.0));
        let v2 = acceleration * machine.junction_deviation() * c * (1.0 + c) / s2;
        self.heading = heading;
        self.at = to;
        v2.min(1e9) + length
    }
}

/// For each pulse one square root and one division: the times of evenly spaced points of a ramp.
#[derive(Clone, Copy, Debug)]
pub struct Pulses {
    w: f32,
    w2: f32,
    k: f32,
    u0: f32,
    ticks: f32,
}

impl Pulses {
    /// A ramp of `count` pulses from the speed `slow` to `fast` that takes `ticks`.
    pub fn new(count: u32, slow: f32, fast: f32, ticks: f32) -> Self {
        let w = 2.0 * slow / (slow + fast);
        Self {
            w,
            w2: w * w,
            k: 4.0 * (1.0 - w),
            u0: 1.0 / count as f32,
            ticks,
        }
    }

    /// When pulse `i` is due, in ticks.
    pub fn time(&self, i: u32, sqrt: impl Fn(f32) -> f32) -> f32 {
        let u = self.u0 * i as f32;
        2.0 * u / (self.w + sqrt(self.w2 + self.k * u)) * self.ticks
    }
}
