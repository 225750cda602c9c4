//! The rules of motion in double precision, and how far single precision may stray from them.

use spokeshave::{Machine, Point};

/// Unit round-off of single precision: one operation is right to this part of its result.
pub const U: f64 = 1.0 / 16_777_216.0;

/// How far each component of a unit vector in single precision may be off, as a part of itself.
///
/// A difference of coordinates is rounded once (U), the sum of up to six squares ((3 + 5)·U), its
/// root halves that and adds 4·U (the planner's root is right to 2 units in the last place), then
/// one division and one product: 4 + 4 + 1 + 1 + 1 = 11, and 12 leaves the second-order terms.
pub const HEADING: f64 = 12.0 * U;

/// Between what a value in single precision may lie.
#[derive(Clone, Copy, Debug)]
pub struct Span {
    /// The least.
    pub lo: f64,
    /// The most.
    pub hi: f64,
}

impl Span {
    /// `value` and a part `error` of it to each side.
    pub fn around(value: f64, error: f64) -> Self {
        Self {
            lo: value * (1.0 - error),
            hi: value * (1.0 + error),
        }
    }

    /// The smaller of two values.
    pub fn min(self, other: Self) -> Self {
        Self {
            lo: self.lo.min(other.lo),
            hi: self.hi.min(other.hi),
        }
    }
}

/// Length of a vector.
pub fn norm(v: &[f64]) -> f64 {
    v.iter().map(|x| x * x).sum::<f64>().sqrt()
}

/// Displacement, mm. Counts are whole numbers of 2⁻¹⁷ mm, so that this is exact.
pub fn displacement<const N: usize>(from: &Point<N>, to: &Point<N>) -> [f64; N] {
    std::array::from_fn(|i| to[i].mm() - from[i].mm())
}

/// The most `r` for which `r` × |`unit`| keeps the limit of every axis.
pub fn reach<const N: usize>(unit: &[f64; N], limit: impl Fn(usize) -> f64) -> f64 {
    (0..N)
        .map(|i| limit(i) / unit[i].abs())
        .fold(f64::INFINITY, f64::min)
}

/// Speed cap of a move, mm/s: the feed, and what the axes allow.
pub fn speed_cap<const N: usize>(machine: &Machine<N>, unit: &[f64; N], feed: Option<f32>) -> f64 {
    let axes = reach(unit, |i| machine.axes()[i].speed_limit.into());
    feed.map_or(axes, |feed| axes.min(feed.into()))
}

/// Acceleration along a move, mm/s².
pub fn acceleration<const N: usize>(machine: &Machine<N>, unit: &[f64; N]) -> f64 {
    reach(unit, |i| machine.axes()[i].acceleration_limit.into())
}

/// Radius of the circle that touches both legs of a corner with this turn and passes it at
/// `deviation`, from points: the touching points at distance 1 from the corner, the centre where
/// the normals in them meet, the gap between corner and circle, and all of it scaled to the
/// deviation. Plane geometry; the rule itself is
/// common practice, no source.
pub fn corner_radius(turn: f64, deviation: f64) -> f64 {
    let (sin, cos) = (0.5 * turn).sin_cos();
    // Corner at 0, 0, bisector up: the legs come from (-cos, sin) and leave to (cos, sin).
    let touch = [-cos, sin];
    // The centre (0, h) sees the leg at a right angle: (touch − centre)·touch = 0.
    let h = 1.0 / sin;
    let radius = norm(&[touch[0], touch[1] - h]);
    // The gap h − radius without a difference of near numbers: by Pythagoras on the corner, the
    // touching point and the centre, h² − radius² = 1.
    let gap = 1.0 / (h + radius);
    radius * deviation / gap
}

/// Turn between two directions, radians; from difference and sum, both of which keep their digits.
fn turn<const N: usize>(before: &[f64; N], after: &[f64; N]) -> ([f64; N], f64) {
    let change: [f64; N] = std::array::from_fn(|i| after[i] - before[i]);
    let sum: [f64; N] = std::array::from_fn(|i| after[i] + before[i]);
    (change, 2.0 * norm(&change).atan2(norm(&sum)))
}

/// The most v² (mm²/s²) at the corner between two directions: the corner circle, gone round at
/// the acceleration that the axes allow along the change of velocity.
pub fn exact_corner<const N: usize>(
    machine: &Machine<N>,
    before: &[f64; N],
    after: &[f64; N],
) -> f64 {
    let (change, turn) = turn(before, after);
    // Directions in double precision are right to 1e-16 or so; below that, nothing turns.
    if turn < 1e-15 {
        return f64::INFINITY;
    }
    let size = norm(&change);
    let acceleration = acceleration(machine, &change.map(|x| x / size));
    acceleration * corner_radius(turn, machine.junction_deviation().into())
}

/// Between what values the planner's single precision may find [`exact_corner`].
///
/// The turn that rounded directions show is off by at most four times [`HEADING`]: sine and
/// cosine of half the turn each by one, which is 2·√2 and less in the angle where the one used is
/// the steeper, and the other's relative error is below 8 × HEADING with the rounding of the
/// product.
pub fn corner<const N: usize>(machine: &Machine<N>, before: &[f64; N], after: &[f64; N]) -> Span {
    let (change, turn) = turn(before, after);
    let size = norm(&change);
    let slack = 4.0 * HEADING;
    let deviation = f64::from(machine.junction_deviation());
    // The normal's components, at the most and the least that rounding can make of them.
    let off = |i: usize| HEADING * (before[i].abs() + after[i].abs());
    let most: [f64; N] = std::array::from_fn(|i| {
        let room = (size - 2.0 * HEADING).max(0.0);
        let most = (change[i].abs() + off(i)) / room;
        // An axis that takes no part stays out exactly.
        if off(i) == 0.0 {
            0.0
        } else {
            most.min(1.0) * (1.0 + HEADING)
        }
    });
    let least: [f64; N] = std::array::from_fn(|i| {
        (change[i].abs() - off(i)).max(0.0) / (size + 2.0 * HEADING) * (1.0 - HEADING)
    });
    let limit = |i: usize| f64::from(machine.axes()[i].acceleration_limit);
    let lo = if turn + slack >= std::f64::consts::PI {
        0.0
    } else {
        reach(&most, limit) * corner_radius(turn + slack, deviation) * (1.0 - 8.0 * HEADING)
    };
    let hi = if turn - slack <= 0.0 {
        f64::INFINITY
    } else {
        reach(&least, limit) * corner_radius(turn - slack, deviation) * (1.0 + 8.0 * HEADING)
    };
    Span { lo, hi }
}
