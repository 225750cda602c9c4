//! Which limits the parts of an axis allow, and which pair of them to choose.
//!
//! The planner speeds up at one acceleration from rest to the speed limit, so a motor must be able to
//! give the acceleration limit at every speed up to the speed limit: the faster, the less. Of all such
//! pairs the one is chosen that takes the least time from rest to rest over a given move; pairs for
//! longer moves are faster, for shorter ones quicker.

use super::ceilings::{Bound, Ceiling, halve, of_buckling, possible_acceleration};
use crate::machine_file::ranges;
use crate::parts::Driven;
use serde::Serialize;

/// A pair of limits.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Limits {
    /// Speed limit, mm/s.
    pub speed_mm_s: f64,
    /// What holds it there.
    pub speed_bound: Bound,
    /// Acceleration limit, mm/s².
    pub acceleration_mm_s2: f64,
    /// What holds it there.
    pub acceleration_bound: Bound,
}

/// Speeds that are looked at before the best of them is closed in on.
const SPEEDS: i32 = 400;

/// The limits of an axis: what `speed` and `acceleration` say, mm/s and mm/s², and where they say
/// nothing, the most that goes with the other, or both for a move of `stroke_mm`. None where the
/// motor cannot move the axis.
pub(super) fn choose(
    driven: &Driven,
    ceilings: &[Ceiling],
    safety: f64,
    stroke_mm: f64,
    (speed, acceleration): (Option<f64>, Option<f64>),
) -> Option<Limits> {
    let ceiling = ceilings
        .iter()
        .copied()
        .min_by(|a, b| a.speed_mm_s.total_cmp(&b.speed_mm_s))?;
    let most = |speed| most_acceleration(driven, speed, safety);
    let (speed_mm_s, speed_bound) = match (speed, acceleration) {
        (Some(speed), _) => (speed, Bound::File),
        (None, Some(wanted)) => {
            let reached = halve(ceiling.speed_mm_s, |speed| most(speed).0 >= wanted);
            let bound = if reached == ceiling.speed_mm_s {
                ceiling.bound
            } else {
                most(reached).1
            };
            (rounded_down(reached), bound)
        }
        (None, None) => {
            let best = quickest(ceiling.speed_mm_s, stroke_mm, |speed| most(speed).0);
            // Within the last of the speeds that are looked at.
            let at_ceiling = best >= ceiling.speed_mm_s * (1.0 - 1e-6);
            let bound = if at_ceiling {
                ceiling.bound
            } else {
                Bound::Choice
            };
            (rounded_down(best), bound)
        }
    };
    let (acceleration_mm_s2, acceleration_bound) = match acceleration {
        Some(acceleration) => (acceleration, Bound::File),
        None => {
            let (most, bound) = most(speed_mm_s);
            (rounded_down(most), bound)
        }
    };
    let least_speed = ranges::SPEED_LIMIT.least;
    let least_acceleration = ranges::ACCELERATION_LIMIT.least;
    (speed_mm_s >= least_speed && acceleration_mm_s2 >= least_acceleration).then_some(Limits {
        speed_mm_s,
        speed_bound,
        acceleration_mm_s2,
        acceleration_bound,
    })
}

/// The highest acceleration, mm/s², at all speeds up to `speed_mm_s`, and what holds it there.
pub(super) fn most_acceleration(driven: &Driven, speed_mm_s: f64, safety: f64) -> (f64, Bound) {
    let torque = (
        possible_acceleration(driven, speed_mm_s, safety),
        Bound::Torque,
    );
    let buckling = (of_buckling(driven).max(0.0), Bound::Buckling);
    let range = (ranges::ACCELERATION_LIMIT.most, Bound::Range);
    [buckling, range].into_iter().fold(
        torque,
        |least, other| if other.0 < least.0 { other } else { least },
    )
}

/// The speed, at most `ceiling`, with which a move of `stroke` takes the least time from rest to rest.
pub(crate) fn quickest(ceiling: f64, stroke: f64, most: impl Fn(f64) -> f64) -> f64 {
    // t = s/v + v/a where the speed is reached, else t = 2·√(s/a): a trapezoid, a triangle
    // (Biagiotti, Melchiorri, Trajectory Planning for Automatic Machines and Robots, §3.2; memory).
    let time = |speed: f64| {
        let acceleration = most(speed);
        if acceleration <= 0.0 {
            f64::INFINITY
        } else if speed * speed >= acceleration * stroke {
            2.0 * (stroke / acceleration).sqrt()
        } else {
            stroke / speed + speed / acceleration
        }
    };
    let at = |index: i32| ceiling * f64::from(index.clamp(1, SPEEDS)) / f64::from(SPEEDS);
    let best = (1..=SPEEDS)
        .min_by(|a, b| time(at(*a)).total_cmp(&time(at(*b))))
        .unwrap_or(SPEEDS);
    // Thirds: between its neighbours the time has one low point.
    let (mut low, mut high) = (at(best - 1), at(best + 1));
    for _ in 0..60 {
        let third = (high - low) / 3.0;
        if time(low + third) <= time(high - third) {
            high -= third;
        } else {
            low += third;
        }
    }
    let found = 0.5 * (low + high);
    // At the ceiling the thirds close in on it from below only.
    if time(ceiling) <= time(found) {
        ceiling
    } else {
        found
    }
}

/// Three digits that count, not above `value`: people read them, and the file keeps its promise.
pub(crate) fn rounded_down(value: f64) -> f64 {
    if value <= 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10_f64.powi(2 - value.log10().floor() as i32);
    // A value that has three digits may come out a hair below them.
    (value * scale * (1.0 + 1e-12)).floor() / scale
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits_and_never_more() {
        for (value, rounded) in [
            (133.333, 133.0),
            (0.012_345, 0.0123),
            (1999.9, 1990.0),
            (2000.0, 2000.0),
            (0.7, 0.7),
            (60.3, 60.3),
            (1.0, 1.0),
        ] {
            assert_eq!(rounded_down(value), rounded, "{value}");
        }
    }

    /// a = A − B·v² has its best speed where the derivative of s/v + v/a is 0; here against a search.
    #[test]
    fn the_quickest_is_the_least_of_all() {
        let most = |v: f64| 1000.0 - 0.02 * v * v;
        let time = |v: f64| 80.0 / v + v / most(v);
        let found = quickest(200.0, 80.0, most);
        for step in 1..2000 {
            assert!(time(found) <= time(0.1 * f64::from(step)) * (1.0 + 1e-9));
        }
        // Where acceleration costs nothing, the ceiling is best.
        assert_eq!(quickest(200.0, 80.0, |_| 5000.0), 200.0);
    }
}
