//! How the path turns: where a stream of slices changes direction, and by how much.

use super::place::Turn;
use super::{PROMINENCE, SHORTEST_MM};
use crate::machine::Machine;
use crate::motion::{AXES, Point};
use crate::trace::Slice;

/// Turns of less are rounding of that, radians.
const LEAST_TURN: f64 = 1e-4;

/// A change of direction.
#[derive(Clone, Copy, Debug)]
pub(super) struct Junction {
    /// Radians.
    angle: f64,
    /// Sum of all turns before it and after it: angles times their axes, so that turns to and fro
    /// cancel.
    before: Point,
    after: Point,
    /// Path length up to it, mm.
    way_mm: f64,
    speed_mm_s: f64,
    /// Path that is covered in the time in which a change of direction counts as one, mm.
    window_mm: f64,
    /// The axis that can turn there least.
    axis: Option<usize>,
}

/// The direction of the path so far.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    accelerations: Point,
    deviation_mm: f64,
    direction: Option<Point>,
    turned: Point,
    way_mm: f64,
}

impl Heading {
    pub fn new(machine: &Machine) -> Self {
        Self {
            accelerations: machine.axes.map(|axis| axis.acceleration_limit_mm_s2),
            deviation_mm: machine.junction_deviation_mm,
            direction: None,
            turned: [0.0; AXES],
            way_mm: 0.0,
        }
    }

    /// Follows a slice; the change of direction at its start, if there is one.
    pub fn slice(&mut self, slice: &Slice) -> Option<Junction> {
        let way_mm = self.way_mm;
        self.way_mm += slice.length_mm;
        let along: Point = std::array::from_fn(|i| slice.to[i] - slice.from[i]);
        let length = dot(&along, &along).sqrt();
        if length < SHORTEST_MM {
            return None;
        }
        let to = along.map(|part| part / length);
        let from = self.direction.replace(to)?;
        let cross = cross(&from, &to);
        let sine = dot(&cross, &cross).sqrt();
        let angle = sine.atan2(dot(&from, &to));
        if angle < LEAST_TURN {
            // So that many small ones are not lost.
            self.direction = Some(from);
            return None;
        }
        let before = self.turned;
        // A reversal has no axis of its own.
        let axis = if sine > 0.0 {
            cross.map(|part| part / sine)
        } else {
            [0.0, 0.0, 1.0]
        };
        self.turned = std::array::from_fn(|i| before[i] + angle * axis[i]);
        let most = |i: &usize| self.accelerations[*i] / (to[*i] - from[*i]).abs();
        let axis = (0..AXES).min_by(|a, b| most(a).total_cmp(&most(b)));
        // T = √(8δ/a), as in the law of bends (docs/theory.md).
        let time = |axis: usize| (8.0 * self.deviation_mm / self.accelerations[axis]).sqrt();
        Some(Junction {
            angle,
            before,
            after: self.turned,
            way_mm,
            speed_mm_s: slice.entry_mm_s,
            window_mm: slice.entry_mm_s * axis.map_or(0.0, time),
            axis,
        })
    }
}

/// The turns of a dip that are passed at nearly its lowest speed, or so soon before or after it that
/// they count with it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Region {
    slowest: Junction,
    start_mm: f64,
    end_mm: f64,
    /// Bounds of the sum of turns, each component by itself.
    low: Point,
    high: Point,
    /// The axis that can turn least at the slowest of them.
    pub axis: Option<usize>,
}

impl Region {
    pub fn of(junction: &Junction) -> Self {
        let pair = |pick: fn(f64, f64) -> f64| {
            std::array::from_fn(|i| pick(junction.before[i], junction.after[i]))
        };
        Self {
            slowest: *junction,
            start_mm: junction.way_mm,
            end_mm: junction.way_mm,
            low: pair(f64::min),
            high: pair(f64::max),
            axis: junction.axis,
        }
    }

    pub fn add(&mut self, junction: &Junction) {
        *self = self.join(Self::of(junction));
    }

    /// This and the next: the slower alone, or both where they are nearly as slow or close.
    pub fn join(self, next: Self) -> Self {
        let (here, there) = (&self.slowest, &next.slowest);
        if there.speed_mm_s > here.speed_mm_s * PROMINENCE
            && next.end_mm - here.way_mm > here.window_mm
        {
            return self;
        }
        if here.speed_mm_s > there.speed_mm_s * PROMINENCE
            && there.way_mm - self.start_mm > there.window_mm
        {
            return next;
        }
        let (here, there) = (here.speed_mm_s, there.speed_mm_s);
        let slower = if there < here { &next } else { &self };
        Self {
            slowest: slower.slowest,
            axis: slower.axis,
            start_mm: self.start_mm,
            end_mm: next.end_mm,
            low: std::array::from_fn(|i| self.low[i].min(next.low[i])),
            high: std::array::from_fn(|i| self.high[i].max(next.high[i])),
        }
    }

    /// The angle at its slowest junction.
    pub fn sharpest(&self) -> Turn {
        Turn {
            degrees: self.slowest.angle.to_degrees(),
            within_mm: 0.0,
        }
    }

    /// How far the direction swings over all of it.
    pub fn swing(&self) -> Turn {
        let swing: Point = std::array::from_fn(|i| self.high[i] - self.low[i]);
        Turn {
            degrees: dot(&swing, &swing).sqrt().to_degrees(),
            within_mm: self.end_mm - self.start_mm,
        }
    }
}

fn dot(a: &Point, b: &Point) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn cross(a: &Point, b: &Point) -> Point {
    std::array::from_fn(|i| {
        let (j, k) = ((i + 1) % AXES, (i + 2) % AXES);
        a[j] * b[k] - a[k] * b[j]
    })
}
