//! The checks that take pulses as samples of where an axis, or the path, is.

use super::MAJOR;
use super::acceleration::AxisAcceleration;
use super::curve_acceleration::Curves;
use super::geometry::Path;
use super::legs::Legs;
use super::run::Run;
use super::segment::{POSITION_MM, Segment};
use super::speed::{self, AxisSpeed, Feed};
use crate::machine::Machine;
use crate::motion::{AXES, Point};

#[derive(Clone, Debug)]
pub(super) struct Samples {
    pub speeds: [AxisSpeed; AXES],
    pub accelerations: [AxisAcceleration; AXES],
    pub curves: Curves,
    pub feed: Feed,
    pub legs: Legs,
}

impl Samples {
    /// Limits in mm/tick and mm/tick²; `late` is the most that a pulse may be late, ticks.
    pub fn new(machine: &Machine, speed: &Point, accel: &Point, late: f64) -> Self {
        let deviation = machine.junction_deviation_mm;
        let window = speed::window(late);
        let least = accel.iter().copied().fold(f64::INFINITY, f64::min);
        Self {
            speeds: std::array::from_fn(|i| AxisSpeed::new(i, speed[i], window)),
            accelerations: std::array::from_fn(|i| AxisAcceleration::new(i, accel[i], deviation)),
            curves: Curves::new(accel, deviation),
            feed: Feed::new(window),
            legs: Legs::new((8.0 * deviation / least).sqrt(), late),
        }
    }

    /// A run of pulses, those that lie on a piece of the path all on the `ahead`-th one.
    pub fn take(&mut self, run: &Run, path: &Path, ahead: usize) {
        let other = path.get(ahead).filter(|_| ahead > 0);
        let piece = other.unwrap_or(path.front());
        let turns = &path.passed_turns;
        let margins: Point = std::array::from_fn(|axis| margin(piece, axis));
        let major = piece.u.map(|u| u.abs() >= MAJOR);
        for sample in run.all() {
            let here = &sample.here;
            let (t, x, s) = (here.tick, sample.x, sample.on);
            let axis = usize::from(sample.axis).min(AXES - 1);
            self.speeds[axis].sample(t, x, here);
            if t >= self.curves.due && sample.firm {
                let on = sample.placed.then_some((s, piece));
                self.curves
                    .sample((t, sample.s), (axis, x), on, turns, here);
            }
            if !sample.placed {
                continue;
            }
            let margin = margins[axis];
            // Mostly plain from the piece alone.
            let before_end = piece.s1 - s >= margin;
            if before_end && s - piece.straight0 >= margin
                || !path.near_end(ahead, s, margin, true)
            {
                self.accelerations[axis].sample(t, x, piece, here);
            }
            if major[axis]
                && (before_end && s - piece.leg0 >= margin
                    || !path.near_end(ahead, s, margin, false))
            {
                self.feed.sample(t, s, piece, here);
                self.legs.sample(t, s, piece, here);
            }
        }
    }
}

/// Path length that the position of an axis may be off by, seen along it, for two ends of a piece, mm.
fn margin(piece: &Segment, axis: usize) -> f64 {
    2.0 * POSITION_MM * piece.inverse[axis]
}
