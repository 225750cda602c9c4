//! The controller's clock against the plan that `simulate` makes of the same program: when the job
//! began, and how fast the clock runs. It is an estimate to be told; no limit is judged by it.
//!
//! The n-th step of an axis in the capture is held against the n-th in the plan. Times of the plan and of
//! the capture that lie a sixteenth of all pairs apart give the rate, and the median of these rates is the
//! estimate: a pause that the plan does not have, or a lost step, spoils the stretches that it falls
//! into, a fifteenth of all, and no others. Half of the rates lie between the quartiles, which tells how well the controller
//! follows the plan: one that plans by other rules follows no clock of ours.
//!
//! If every time is right to ±e, a rate over a stretch of D is right to 2e/D, and so is the median.

use super::pace::Pace;
use serde::Serialize;

/// Stretches in the whole.
const LAG: usize = 16;

/// Fewer pairs tell nothing.
const FEWEST: usize = 32;

/// No stretch is shorter than this part of the whole.
const SHORTEST: f64 = 1.0 / 32.0;

/// Where the quartiles lie further apart than this, the controller does not follow the plan: jitter of
/// 20 µs over the shortest stretch of a job of 1 s is 0.06 %, another rule for corners some per cent.
const FOLLOWS: f64 = 1e-3;

/// The clock.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Clock {
    /// When the job began, in the time of the capture, s.
    pub start_s: f64,
    /// How much faster than the analyser's the controller's clock runs, ppm.
    pub fast_ppm: f64,
    /// Half of the stretches are within this of it, ppm.
    pub spread_ppm: f64,
    /// The controller follows the plan closely enough to tell its clock.
    pub follows: bool,
}

/// The estimate; `None` where too few steps can be held against each other.
pub(super) fn estimate(plan: &Pace, capture: &Pace) -> Option<Clock> {
    let pairs = plan.pairs(capture);
    if pairs.len() < FEWEST {
        return None;
    }
    let lag = pairs.len() / LAG;
    let whole = pairs[pairs.len() - 1].0 - pairs[0].0;
    let mut rates: Vec<f64> = pairs
        .iter()
        .zip(&pairs[lag..])
        .filter(|(from, to)| to.0 - from.0 >= SHORTEST * whole && to.1 > from.1)
        .map(|(from, to)| (to.0 - from.0) / (to.1 - from.1))
        .collect();
    if rates.len() < FEWEST / 2 {
        return None;
    }
    rates.sort_by(f64::total_cmp);
    let rate = middle(&rates, 2);
    let spread = (middle(&rates, 4) - rate)
        .abs()
        .max((rates[rates.len() - 1 - rates.len() / 4] - rate).abs());
    let mut starts: Vec<f64> = pairs[..lag]
        .iter()
        .map(|(plan, capture)| capture - plan / rate)
        .collect();
    starts.sort_by(f64::total_cmp);
    Some(Clock {
        start_s: middle(&starts, 2),
        fast_ppm: (rate - 1.0) * 1e6,
        spread_ppm: spread * 1e6,
        follows: spread <= FOLLOWS,
    })
}

/// The value that 1/`part` of all, which are in order, lie below.
fn middle(sorted: &[f64], part: usize) -> f64 {
    sorted[(sorted.len() / part).min(sorted.len() - 1)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 2000 steps, 5 ms apart, seen by a clock against which the controller's is `fast`.
    fn run(fast: f64, mut change: impl FnMut(u32, f64) -> Option<f64>) -> (Pace, Pace) {
        let (mut plan, mut capture) = (Pace::new(), Pace::new());
        for n in 0..2000 {
            let time = f64::from(n) * 5e-3;
            plan.step(0, time);
            if let Some(time) = change(n, time) {
                capture.step(0, 3.0 + time / (1.0 + fast));
            }
        }
        (plan, capture)
    }

    #[test]
    fn pauses_and_lost_steps_do_not_spoil_it() {
        // Exact times: only f64 rounds. A pause of 7 s, and a step lost later.
        let (plan, capture) = run(80e-6, |n, time| {
            (n != 1400).then_some(time + if n > 700 { 7.0 } else { 0.0 })
        });
        let clock = estimate(&plan, &capture).unwrap();
        assert!((clock.fast_ppm - 80.0).abs() < 1e-3, "{clock:?}");
        assert!((clock.start_s - 3.0).abs() < 1e-9, "{clock:?}");
        assert!(clock.follows);
    }

    #[test]
    fn other_rules_are_no_clock() {
        // Speeds that swing by a tenth.
        let (plan, capture) = run(0.0, |_, time| Some(time + 0.1 * time.sin()));
        assert!(!estimate(&plan, &capture).unwrap().follows);
        assert_eq!(estimate(&plan, &Pace::new()), None);
    }
}
