//! The floors: loops with only the arithmetic that cannot be avoided.

use spokeshave::{Machine, Point};

/// For each move one length, one direction and one corner, with the processor's own square root.
/// Returns the sum of the corners' v², so that nothing is optimised away.
pub fn moves(machine: &Machine<3>, from: Point<3>, path: &[Point<3>]) -> f32 {
    let mut sum = 0.0;
    let mut before = [1.0_f32, 0.0, 0.0];
    let mut at = from;
    for to in path {
        let way: [f32; 3] =
            std::array::from_fn(|i| (to[i].counts() - at[i].counts()) as f32 / 131_072.0);
        let length = way.iter().map(|x| x * x).sum::<f32>().sqrt();
        let heading = way.map(|x| x / length);
        let change: [f32; 3] = std::array::from_fn(|i| heading[i] - before[i]);
        let width = change.iter().map(|x| x * x).sum::<f32>().sqrt();
        let acceleration = (0..3)
            .map(|i| machine.axes()[i].acceleration_limit * width / change[i].abs())
            .fold(f32::INFINITY, f32::min);
        let s2 = 0.25 * width * width;
        let c = (1.0 - s2).max(0.0).sqrt();
        let v2 = acceleration * machine.junction_deviation() * c * (1.0 + c) / s2;
        sum += v2.min(1e9) + length;
        before = heading;
        at = *to;
    }
    sum
}

/// For each pulse one square root and one division: the times of `count` evenly spaced points of
/// a ramp. Returns the sum of the times.
pub fn pulses(count: u32, slow: f32, fast: f32, ticks: f32) -> f32 {
    let w = 2.0 * slow / (slow + fast);
    let (w2, k, u0) = (w * w, 4.0 * (1.0 - w), 1.0 / count as f32);
    (0..count)
        .map(|i| {
            let u = u0 * i as f32;
            2.0 * u / (w + (w2 + k * u).sqrt()) * ticks
        })
        .sum()
}
