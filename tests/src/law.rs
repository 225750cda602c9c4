//! The law of bends by brute force, in double precision: in no stretch of T = √(8δ/A) may the
//! velocity change by more than A·T. Every pair of places on a fine grid is tried.

use crate::job::Job;
use crate::profile::{self, Stretch};
use crate::rules;
use spokeshave::{Limit, LowPoint, Ramp};

/// What acceleration the axes allow together, along some direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Allowance {
    /// Each up to its limit, whatever the others do: min aᵢ/|nᵢ|, a box.
    Each,
    /// The ellipsoid inside that box: 1/|(n₁/a₁, n₂/a₂ …)|. Equal axes allow the same every way.
    Together,
}

impl Allowance {
    /// A/|change| for the acceleration A along `change`.
    fn reach<const N: usize>(self, change: &[f64; N], limits: &[f64; N]) -> f64 {
        match self {
            Self::Each => rules::reach(change, |i| limits[i]),
            Self::Together => {
                let parts: [f64; N] = std::array::from_fn(|i| change[i] / limits[i]);
                1.0 / rules::norm(&parts)
            }
        }
    }
}

/// The direction of a path anywhere on it: each turn is spread over the arc of the corner's
/// inscribed circle, and at most over half of each neighbour; linear within.
#[derive(Debug)]
struct Directions<const N: usize> {
    /// Place along the path, mm, and direction there.
    knots: Vec<(f64, [f64; N])>,
}

/// How far the inscribed circle touches from the corner, mm.
fn tangent_length(before: &[f64], after: &[f64], deviation: f64) -> f64 {
    let change: Vec<f64> = before.iter().zip(after).map(|(b, a)| a - b).collect();
    let sum: Vec<f64> = before.iter().zip(after).map(|(b, a)| a + b).collect();
    let turn = 2.0 * rules::norm(&change).atan2(rules::norm(&sum));
    // Where nothing turns, nothing is spread.
    if turn < 1e-15 {
        return 0.0;
    }
    rules::corner_radius(turn, deviation) * (0.5 * turn).tan()
}

impl<const N: usize> Directions<N> {
    fn new(job: &Job<N>) -> Self {
        let deviation = f64::from(job.machine.junction_deviation());
        let mut place = 0.0;
        let mut knots = vec![(0.0, job.moves[0].unit)];
        for pair in job.moves.windows(2) {
            place += pair[0].length;
            let reach = tangent_length(&pair[0].unit, &pair[1].unit, deviation);
            knots.push((place - reach.min(0.5 * pair[0].length), pair[0].unit));
            knots.push((place + reach.min(0.5 * pair[1].length), pair[1].unit));
        }
        let last = job.moves[job.moves.len() - 1];
        knots.push((place + last.length, last.unit));
        Self { knots }
    }

    /// Directions at `count` places, `grid` apart.
    fn sampled(&self, grid: f64, count: usize) -> Vec<[f64; N]> {
        let mut k = 0;
        (0..count)
            .map(|j| {
                let place = j as f64 * grid;
                while k + 2 < self.knots.len() && self.knots[k + 1].0 <= place {
                    k += 1;
                }
                let ((from, u), (to, w)) = (self.knots[k], self.knots[k + 1]);
                let part = if to > from {
                    ((place - from) / (to - from)).clamp(0.0, 1.0)
                } else {
                    1.0
                };
                std::array::from_fn(|i| u[i] + part * (w[i] - u[i]))
            })
            .collect()
    }
}

/// The most v² where each move begins, up to the square of `fastest`: the law on a grid of `grid`
/// mm, and the rule of the corner. At a place, all stretches that contain it count.
///
/// The law for a pair of places d apart with a change of direction Δu: where v·T > d, the change
/// v·|Δu| happens within T, and must be at most A·T. So v² ≤ max(d²/T², A²T²/|Δu|²).
pub fn entries<const N: usize>(
    job: &Job<N>,
    allowance: Allowance,
    grid: f64,
    fastest: f64,
) -> Vec<f64> {
    let limits: [f64; N] = std::array::from_fn(|i| job.machine.axes()[i].acceleration_limit.into());
    let eight = 8.0 * f64::from(job.machine.junction_deviation());
    let length: f64 = job.moves.iter().map(|m| m.length).sum();
    let count = (length / grid) as usize + 2;
    let directions = Directions::new(job).sampled(grid, count);
    // A pair further apart than v·T of the slowest axis does not bind at that speed.
    let least = limits.iter().copied().fold(f64::INFINITY, f64::min);
    let window = (fastest * (eight / least).sqrt() / grid).ceil() as usize + 1;

    let mut cells = vec![fastest * fastest; count];
    for first in 0..count {
        let mut most = f64::INFINITY;
        for second in (first + 1..count.min(first + window + 1)).rev() {
            let change: [f64; N] =
                std::array::from_fn(|i| directions[second][i] - directions[first][i]);
            let size = rules::norm(&change);
            if size > 0.0 {
                let reach = allowance.reach(&change, &limits);
                let apart = (second - first) as f64 * grid;
                most = most.min(reach * (apart * apart * size / eight).max(eight / size));
            }
            // The cell from `second − 1` to `second` lies in this stretch and in all longer ones.
            cells[second - 1] = cells[second - 1].min(most);
        }
    }

    let mut place = 0.0;
    (0..job.moves.len())
        .map(|k| {
            let cell = cells[((place / grid) as usize).min(count - 1)];
            place += job.moves[k].length;
            if job.moves[k].stop {
                return 0.0;
            }
            let (before, after) = (&job.moves[k - 1].unit, &job.moves[k].unit);
            cell.min(rules::exact_corner(&job.machine, before, after))
        })
        .collect()
}

/// The largest plan under the law, as ramps: what a planner with all the memory and time in the
/// world would do.
pub fn plan<const N: usize>(job: &Job<N>, entries: &[f64]) -> Vec<Ramp<N>> {
    let mut stretches = job.stretches();
    for (stretch, law) in stretches.iter_mut().zip(entries) {
        stretch.entry = stretch.entry.min(*law);
    }
    let b = profile::largest(&stretches);
    let mut ramps = Vec::new();
    for (k, stretch) in stretches.iter().enumerate() {
        ramps.extend(move_ramps(job, k, stretch, [b[k], b[k + 1]]));
    }
    ramps
}

/// Up, along and down.
fn move_ramps<const N: usize>(
    job: &Job<N>,
    k: usize,
    stretch: &Stretch,
    [b0, b1]: [f64; 2],
) -> Vec<Ramp<N>> {
    const TWO_32: f64 = 4_294_967_296.0;
    let axes = job.machine.axes();
    let hz = f64::from(job.machine.controller().timer_hz);
    let peak2 = (0.5 * (b0 + b1) + stretch.acceleration * stretch.length)
        .min(stretch.cap * stretch.cap)
        .max(b0)
        .max(b1);
    let up = (peak2 - b0) / stretch.change() * stretch.length;
    let down = (peak2 - b1) / stretch.change() * stretch.length;
    let along = (stretch.length - up - down).max(0.0);
    let [v0, peak, v1] = [b0, peak2, b1].map(f64::sqrt);
    let m = &job.moves[k];
    [(up, v0, peak), (along, peak, peak), (down, peak, v1)]
        .into_iter()
        .filter(|(length, _, _)| *length > 1e-12)
        .map(|(length, from, to)| Ramp {
            steps: std::array::from_fn(|i| {
                (m.unit[i] * length * axes[i].steps_per_mm * TWO_32).round() as i64
            }),
            duration: (2.0 * length / (from + to) * hz * TWO_32) as u64,
            entry_speed: from as f32,
            exit_speed: to as f32,
            tag: k as u32,
            limit: Limit::Feed,
            low_point: LowPoint::Stop,
            ends_move: false,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::exact::mm;
    use crate::machines::router;
    use crate::shapes;

    #[test]
    fn a_circle_has_the_centripetal_limit() {
        let machine = router(400.0, [133.0; 3], [500.0; 3]);
        for chord in [0.2, 0.05] {
            let mut job = Job::new(machine, mm([0.0; 3]));
            for at in &shapes::circle(5.0, chord)[1..] {
                job.line(mm(*at), Some(100.0), false);
            }
            for (allowance, least) in [(Allowance::Together, 0.99), (Allowance::Each, 0.83)] {
                let entries = entries(&job, allowance, 0.005, 100.0);
                for (k, entry) in entries.iter().enumerate() {
                    let angle = std::f64::consts::TAU * k as f64 / entries.len() as f64;
                    // Away from the ends, where the circle is whole on both sides.
                    if !(0.5..5.7).contains(&angle) {
                        continue;
                    }
                    // Which way the bend accelerates, and what the axes allow that way.
                    let share = match allowance {
                        Allowance::Each => angle.sin().abs().max(angle.cos().abs()),
                        Allowance::Together => 1.0,
                    };
                    // A stretch of v·T = 0.9 mm is up to a step longer or shorter. It may have its
                    // middle 0.09 rad away, and where each axis is by itself, that way the
                    // limit is up to tan 45° · 0.09 = 9 % less, twice that with its own length.
                    let ratio = entry / (500.0 * 5.0 / share);
                    assert!((least..1.01).contains(&ratio), "{angle}: {ratio}");
                }
            }
        }
    }
}
