//! Corner speeds: the inscribed circle's rule, built from points, and the speed at a corner that
//! the pulses around it prove.
//!
//! Where the path turns, the pulses before it lie on one straight leg and those after it on
//! another, and on each leg the path speed changes by no more than the leg's acceleration. So a
//! machine that passes the corner at v takes from d₁ before it to d₂ after it at least
//!
//!   t(v) = 2d₁/(v + √(v² + 2A₁d₁)) + 2d₂/(v + √(v² + 2A₂d₂))
//!
//! (braking as hard as allowed, then speeding up as hard as allowed). t falls as v grows, so the
//! time between two pulses proves a least speed at the corner: the v with t(v) = the time taken. A
//! machine within its limits never shows more than its true speed, and one that brakes at its
//! limit, as a planner does before a corner that holds it, shows all of it.

use super::rest::Stop;
use super::segment::{Junction, POSITION_MM};
use crate::motion::{AXES, Point};

/// A corner speed counts as measured where the roundings of its two pulses can shift it by no more
/// than this part.
const RESOLUTION: f64 = 0.015;

/// Largest measured speed as a multiple of the rule: `RESOLUTION`, and 0.5 % for the direction of
/// the legs (up to 1 % of the square of the speed, see [`junction`]).
pub(super) const LIMIT: f64 = 1.0 + RESOLUTION + 0.005;

/// Where directions are known so badly that the squared corner speed is off by more than this part,
/// the corner is not measured.
const DIRECTION: f64 = 0.01;

/// A corner whose cosine of half the turn is below this is a reversal: its speed (below 0.1 mm/s
/// for usual settings) is too small to measure, and is checked as a stop.
const REVERSAL: f64 = 1e-3;

/// A turn of the path.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turn {
    /// Greatest speed there, mm/tick.
    pub speed: f64,
    /// It can hold the speed (is below what the feed and the axes allow), and is known well
    /// enough to be measured.
    pub holds: bool,
}

/// Length of a vector.
pub(super) fn length(v: &Point) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// Radius of the circle that touches both legs of a corner and passes at `deviation` from it, the
/// direction from the corner to its centre, and how far that direction points along the legs.
///
/// Built from points, the corner at the origin: a point at distance 1 on each leg, the bisector
/// through their middle, and the foot of a point of the bisector on a leg. A circle around the
/// bisector's point at distance r + δ has its nearest point at δ; it touches the leg where
/// r = q(r + δ), q the distance from leg to bisector at distance 1. With p the foot's distance,
/// p² + q² = 1, so 1 − q = p²/(1 + q), which keeps its digits for small turns.
fn inscribed_circle(u1: &Point, u2: &Point, deviation: f64) -> (f64, Point, f64, f64) {
    let before: Point = u1.map(|x| -x);
    let middle: Point = std::array::from_fn(|i| (before[i] + u2[i]) / 2.0);
    let bisector = middle.map(|x| x / length(&middle));
    let p: f64 = (0..AXES).map(|i| bisector[i] * u2[i]).sum();
    let q = length(&std::array::from_fn(|i| bisector[i] - p * u2[i]));
    (deviation * q * (1.0 + q) / (p * p), bisector, p, q)
}

/// The junction between directions `u1` and `u2`, under the rule v² = A_n·r, A_n the most that all
/// axes together accelerate along the bisector. `cap` is the speed that feed and axes allow,
/// `slack` how well the directions are known, rad.
pub(super) fn junction(
    u1: &Point,
    u2: &Point,
    deviation: f64,
    acceleration: &Point,
    cap: f64,
    slack: f64,
) -> Junction {
    let (radius, bisector, p, q) = inscribed_circle(u1, u2, deviation);
    let along = (0..AXES)
        .map(|i| acceleration[i] / (bisector[i].abs() - slack / p).max(1e-9))
        .fold(f64::INFINITY, f64::min);
    if q < REVERSAL + slack {
        // Both legs point at each other up to `slack`: the circle's radius is at most δ(q + slack).
        let speed = (along * deviation * (q + slack) * (1.0 + q + slack)).sqrt();
        return Junction::Stop(Stop { speed, rest: 0.0 });
    }
    let speed = (along * radius).sqrt();
    // r goes with 1/p² and, near a reversal, with q.
    let vague = slack * (2.0 / p + 1.0 / q) > DIRECTION;
    Junction::Turn(Turn {
        speed,
        holds: !vague && speed < 0.98 * cap,
    })
}

/// Time at least between `d` before or after a place passed at `v` and the place itself.
pub(super) fn least_time(d: f64, v: f64, accel: f64) -> f64 {
    if d <= 0.0 {
        return 0.0;
    }
    2.0 * d / (v + (v * v + 2.0 * accel * d).sqrt())
}

/// What lies on both sides of a corner between two pulses.
#[derive(Clone, Copy, Debug)]
pub(super) struct Passage {
    /// Distances from the corner, mm, and accelerations, mm/tick², before and after.
    pub before: (f64, f64),
    pub after: (f64, f64),
    /// Time taken, ticks.
    pub time: f64,
}

impl Passage {
    fn least_time(&self, v: f64) -> f64 {
        least_time(self.before.0, v, self.before.1) + least_time(self.after.0, v, self.after.1)
    }

    /// Whether the pair tells the corner speed to `RESOLUTION` near `v`: two roundings of a tick,
    /// and two positions.
    pub fn resolves(&self, v: f64) -> bool {
        let change = self.least_time(v) - self.least_time(v * (1.0 + RESOLUTION));
        change >= 2.0 + 2.0 * POSITION_MM / v
    }

    /// Whether the corner was passed faster than `v`.
    pub fn faster_than(&self, v: f64) -> bool {
        self.time < self.least_time(v)
    }

    /// The least speed at the corner, at least `low`, that the time proves, mm/tick.
    pub fn proven_speed(&self, low: f64) -> f64 {
        let (mut low, mut high) = (low, low.max(1e-12));
        // Doubling ends: the time is above 0, and least_time falls to 0.
        while self.faster_than(high) && high < 1e12 {
            low = high;
            high *= 2.0;
        }
        for _ in 0..40 {
            let middle = (low + high) / 2.0;
            if self.faster_than(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

#[cfg(test)]
mod tests;
