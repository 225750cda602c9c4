//! The most that corners and bends allow, by a plain route: every turn against every later one.

use crate::maker::{Job, Motion};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::Point;

/// The corner rule in the design's form, v² = A_n·δ·c(1 + c)/s².
pub fn corner_speed(machine: &Machine, u1: &Point, u2: &Point) -> f64 {
    let w: Point = std::array::from_fn(|i| u2[i] - u1[i]);
    let size = w.iter().map(|x| x * x).sum::<f64>().sqrt();
    if size < 1e-12 {
        return f64::INFINITY;
    }
    let s = (size / 2.0).min(1.0);
    let c = (1.0 - s * s).sqrt();
    let accel = (0..3)
        .map(|i| machine.axes[i].acceleration_limit_mm_s2 / (w[i].abs() / size))
        .fold(f64::INFINITY, f64::min);
    (accel * machine.junction_deviation_mm * c * (1.0 + c) / (s * s)).sqrt()
}

impl Job {
    /// In no stretch of T the velocity changes by more than A·T: two turns W apart are either
    /// passed in more than T, or with a change that small. From every turn to every later one.
    pub fn keep_bends(&self, motions: &mut [Motion], limits: &mut [f64], times: f64) {
        let axes = &self.machine.axes;
        let fastest = motions
            .iter()
            .map(|m| m.peak)
            .filter(|peak| peak.is_finite());
        let fastest = fastest.fold(0.0, f64::max);
        let highest = axes.iter().map(|a| a.acceleration_limit_mm_s2);
        let lowest = highest.fold(f64::INFINITY, f64::min);
        let reach = fastest * (8.0 * self.machine.junction_deviation_mm / lowest).sqrt();
        for i in 1..motions.len() {
            let mut way = 0.0;
            for j in i + 1..motions.len() {
                let passed = &motions[j - 1];
                way += passed.length;
                let before = &self.pieces[j - 1];
                let stop = passed.length == 0.0 || before.stop || before.rest_s > 0.0;
                if stop || motions[i - 1].length == 0.0 || way > reach {
                    break;
                }
                let w: Point = std::array::from_fn(|k| motions[j].u[k] - motions[i - 1].u[k]);
                let size = w.iter().map(|x| x * x).sum::<f64>().sqrt();
                let accel = (0..3)
                    .map(|k| axes[k].acceleration_limit_mm_s2 * size / w[k].abs())
                    .fold(f64::INFINITY, f64::min);
                let time = (8.0 * self.machine.junction_deviation_mm / accel).sqrt();
                let cap = times * (way / time).max(accel * time / size);
                motions[i..j]
                    .iter_mut()
                    .for_each(|m| m.peak = m.peak.min(cap));
                limits[i..=j]
                    .iter_mut()
                    .for_each(|limit| *limit = limit.min(cap));
            }
        }
    }
}
