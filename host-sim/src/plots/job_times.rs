//! Job times of a map: their colours, and the round ones that contour lines stand for.

use super::colour::{self, SPEED_STEPS};
use crate::summary::duration;
use crate::sweep::Grid;

/// Parts of the grid between contour lines, at most.
const LEVELS: usize = 9;

/// Longest and shortest job time, s, and the times of the contour lines.
pub(super) struct Times {
    least: f64,
    most: f64,
    pub levels: Vec<f64>,
}

impl Times {
    pub fn new(grid: &Grid) -> Self {
        let mut times: Vec<f64> = grid.times().collect();
        times.sort_by(f64::total_cmp);
        Self {
            least: times.first().copied().unwrap_or(0.0),
            most: times.last().copied().unwrap_or(0.0),
            levels: levels(&times),
        }
    }

    /// How far up the scale a time lies, 0 to 1, by ratio: a saving of one percent is as much
    /// anywhere on it.
    pub fn part(&self, time: f64) -> f64 {
        let range = (self.most / self.least).ln();
        if range > 0.0 {
            (time / self.least).ln() / range
        } else {
            0.0
        }
    }

    /// Dark is slow, as in the picture of the path.
    pub fn colour(&self, time: f64) -> plotters::style::RGBColor {
        let fast = 1.0 - self.part(time);
        colour::speed((fast * (SPEED_STEPS - 1) as f64).round() as usize)
    }
}

/// Times that cut the points (sorted) into parts of about equal number, so that lines crowd nowhere;
/// each rounded as far as its neighbours allow.
fn levels(times: &[f64]) -> Vec<f64> {
    let cuts: Vec<f64> = (0..=LEVELS)
        .filter_map(|k| {
            times
                .get(k * times.len().saturating_sub(1) / LEVELS)
                .copied()
        })
        .collect();
    let mut levels: Vec<f64> = cuts
        .windows(3)
        .filter_map(|cut| {
            let gap = (cut[1] - cut[0]).min(cut[2] - cut[1]);
            // Times are shown to a hundredth of a second at best.
            (gap >= 0.04).then(|| {
                let step = round_time(gap / 2.0);
                (cut[1] / step).round() * step
            })
        })
        .collect();
    levels.dedup();
    levels
}

/// The largest round time that is at most `most`, s.
fn round_time(most: f64) -> f64 {
    const ROUND: [f64; 14] = [
        0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 300.0, 600.0, 3600.0,
    ];
    let fits = |step: &&f64| **step <= most;
    ROUND.iter().rev().find(fits).copied().unwrap_or(0.01)
}

/// A time without the decimals that say nothing.
pub(super) fn label(time: f64) -> String {
    let words = duration(time);
    match words.strip_suffix(".0 s") {
        Some(whole) => format!("{whole} s"),
        None => words,
    }
}
