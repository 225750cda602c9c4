//! Where a ramp is cut into pulse trains.

use crate::math::sqrt;
use crate::shape::{Kind, Shape};
use crate::track::EXACT;

/// Cuts a ramp where its steps would not be a cubic of their number any more.
///
/// From a speed v, at an acceleration a, time as a function of the way has the fourth derivative
/// −15·a³/v⁷. So over a way S the cubic through four evenly spread places is off by at most
/// 15/24 · 16/81 · (S/2)⁴ · a³/v⁷, with v at the slow end (the remainder of interpolation, any text
/// on numerical analysis; (x² − 1)(x² − 1/9) is at most 16/81 between −1 and 1). With v² growing by
/// the part g over S, this is g⁴·v/a · 15/24 · 16/81 / 256. To keep it at 1/8 tick,
/// g⁴ ≤ 259 ticks · a/v.
///
/// Near rest that is less than a few steps. There a train has so few steps that the cubic goes
/// through each of them.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Cuts {
    /// Part of the ramp up to the last cut.
    done: f32,
    /// Part by which v² changes in a train, of v² where the train begins.
    change: f32,
    /// The longest part that has few steps, and the longest that has not too many to add up.
    few: f32,
    many: f32,
}

/// 1/8 tick over 15/24 · 16/81 / 256: see [`Cuts`].
const TICKS: f32 = 259.0;

/// Steps of a train whose differences, rounded to 2⁻³² of a tick, add up to less than 1/16 of one:
/// 1000³/6 · 2⁻³³ = 0.02.
const MANY: f32 = 1000.0;

impl Cuts {
    /// No cut.
    pub const NONE: Self = Self {
        done: 0.0,
        change: 0.0,
        few: 1.0,
        many: 1.0,
    };

    /// The cuts of a ramp with `most` steps of the axis that has most.
    pub fn new(shape: &Shape, most: u32) -> Self {
        // The first step of a train is timed by itself.
        if shape.kind == Kind::Steady || most <= EXACT + 1 {
            return Self::NONE;
        }
        let steps = (most + 1) as f32;
        // v/a of the fast end, T·fast/(fast − slow); slower, a train might be longer.
        let time = shape.ticks * (0.5 + 2.0 / shape.k);
        let growth = shape.k / shape.w2;
        if growth * growth * growth * growth * time <= TICKS && steps <= MANY {
            return Self::NONE;
        }
        let growth = sqrt(sqrt(TICKS / time));
        Self {
            done: 0.0,
            change: match shape.kind {
                Kind::Falling => growth / (1.0 + growth),
                Kind::Steady | Kind::Rising => growth,
            },
            // A little less than five steps have at most five half-way points.
            few: (EXACT as f32 + 0.9) / steps,
            many: MANY / steps,
        }
    }

    /// The part of the ramp up to the next cut, `None` for its end.
    pub fn next(&mut self, shape: &Shape) -> Option<f32> {
        let from_slow_end = match shape.kind {
            Kind::Falling => 1.0 - self.done,
            Kind::Steady | Kind::Rising => self.done,
        };
        let v2 = shape.w2 + shape.k * from_slow_end;
        // A product, so that k = 0, of a steady ramp, need not be told apart.
        let by_change = if self.change * v2 < self.many * shape.k {
            self.change * v2 / shape.k
        } else {
            self.many
        };
        self.done += by_change.max(self.few);
        (self.done < 1.0).then_some(self.done)
    }
}

#[cfg(test)]
mod tests {
    use crate::shape::Shape;
    use crate::track::Track;
    use std::vec::Vec;

    /// What the interrupt adds up to is the time of the crossing, to the margin of the analysis: half
    /// a tick of rounding, 1/8, and 1.63 times what single precision leaves, 4e-7 of the ramp.
    #[test]
    fn trains_keep_to_the_exact_times() {
        for (entry, exit) in [
            (0.0, 5.0),
            (0.0, 400.0),
            (3.0, 0.0),
            (40.0, 41.0),
            (400.0, 0.5),
        ] {
            for ticks in [300_u32, 10_000, 1 << 18] {
                for steps in [3_i64, 40, 5_000] {
                    let times = train_times(entry, exit, ticks, steps);
                    assert_eq!(times.len() as i64, steps);
                    for (i, time) in times.iter().enumerate() {
                        let exact = exact(entry, exit, ticks, (i as f64 + 0.5) / steps as f64);
                        let off = (f64::from(*time) - exact).abs();
                        let most = 0.5 + 0.125 + 1.63 * 4e-7 * f64::from(ticks);
                        assert!(off <= most, "{entry} {exit} {ticks} {steps} {i}: {off}");
                    }
                }
            }
        }
    }

    /// When the interrupt makes the steps of a ramp, ticks.
    fn train_times(entry: f32, exit: f32, ticks: u32, steps: i64) -> Vec<i32> {
        let shape = Shape::new(entry, exit, u64::from(ticks) << 32, 0);
        let mut track = Track::new(0);
        let most = track.begin(steps << 32);
        let mut cuts = super::Cuts::new(&shape, most);
        let mut times = Vec::new();
        while track.left() > 0 {
            let count = match cuts.next(&shape) {
                Some(u) => track.steps_up_to(u),
                None => track.left(),
            };
            let mut train = track.take(count, &shape);
            for i in 0..count {
                times.push(if i == 0 {
                    train.first
                } else {
                    train.times.advance()
                });
            }
        }
        times
    }

    /// (√(v₀² + 2as) − v₀)/a, in double precision.
    fn exact(entry: f32, exit: f32, ticks: u32, part: f64) -> f64 {
        let (v0, v1, t) = (f64::from(entry), f64::from(exit), f64::from(ticks));
        let (a, way) = ((v1 - v0) / t, 0.5 * (v0 + v1) * t * part);
        ((v0 * v0 + 2.0 * a * way).max(0.0).sqrt() - v0) / a
    }
}
