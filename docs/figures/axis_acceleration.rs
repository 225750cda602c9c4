//! Measures from pulses how fast each axis changes its speed: reads `pulses.csv` on standard input.
//! Arguments: rate of the timer (Hz), then for x and for y the resolution (steps/mm) and the
//! acceleration limit (mm/s^2), then the junction deviation (mm).
//!
//! The change of velocity over T = sqrt(8 * deviation / limit), divided by T; each velocity is a
//! mean over T/8, or one step where that is longer.

use std::io::{BufRead, stdin};

fn main() {
    let numbers: Vec<f64> = std::env::args()
        .skip(1)
        .filter_map(|text| text.parse().ok())
        .collect();
    let [hz, x_per_mm, x_limit, y_per_mm, y_limit, deviation] = numbers[..] else {
        panic!(
            "usage: axis_acceleration HZ X_STEPS X_LIMIT Y_STEPS Y_LIMIT DEVIATION < pulses.csv"
        );
    };
    let mut seen = [vec![], vec![]];
    let mut at = [0.0, 0.0];
    for row in stdin().lock().lines().map_while(Result::ok) {
        let cells: Vec<f64> = row
            .split(',')
            .filter_map(|cell| cell.parse().ok())
            .collect();
        let [tick, x, y, _] = cells[..] else { continue };
        for (axis, step, per_mm) in [(0, x, x_per_mm), (1, y, y_per_mm)] {
            if step != 0.0 {
                at[axis] += step / per_mm;
                seen[axis].push((tick / hz, at[axis]));
            }
        }
    }
    for (name, samples, limit) in [("x", &seen[0], x_limit), ("y", &seen[1], y_limit)] {
        let span = (8.0 * deviation / limit).sqrt();
        // The last sample at least `ago` before sample `i`.
        let back = |i: usize, ago: f64| {
            let t = samples[i].0 - ago;
            samples.partition_point(|s| s.0 <= t).checked_sub(1)
        };
        let speed = |from: usize, to: usize| {
            (samples[to].1 - samples[from].1) / (samples[to].0 - samples[from].0)
        };
        let middle = |from: usize, to: usize| (samples[to].0 + samples[from].0) / 2.0;
        let mut worst = 0.0_f64;
        for i in 0..samples.len() {
            let Some(c) = back(i, span / 8.0) else {
                continue;
            };
            let Some(b) = back(c, span * 7.0 / 8.0) else {
                continue;
            };
            let Some(a) = back(b, span / 8.0) else {
                continue;
            };
            let apart = middle(c, i) - middle(a, b);
            worst = worst.max((speed(c, i) - speed(a, b)).abs() / apart);
        }
        println!(
            "{name}: limit {limit} mm/s^2, over {:.1} ms at most {worst:.0} mm/s^2, {:.2} of the limit",
            span * 1e3,
            worst / limit
        );
    }
}
