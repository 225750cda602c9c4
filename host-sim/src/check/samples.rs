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
        for axis in 0..AXES {
            self.take_axis(axis, run, (path, ahead, piece));
        }
        self.take_path(run, (path, ahead, piece));
    }

    /// Speed and acceleration of one axis.
    fn take_axis(&mut self, axis: usize, run: &Run, on: (&Path, usize, &Segment)) {
        let (path, ahead, piece) = on;
        let (speed, acceleration) = (&mut self.speeds[axis], &mut self.accelerations[axis]);
        let margin = margin(piece, axis);
        for pulse in run.of(axis) {
            let (t, x, here) = (pulse.here.tick, pulse.crossing.x, &pulse.here);
            if !pulse.crossing.exact {
                continue;
            }
            speed.sample(t, x, here);
            // A pulse that had to wait is no sample of where the axis is in this fine a check.
            let Some(s) = pulse.crossing.on.filter(|_| !pulse.waited) else {
                continue;
            };
            // Mostly plain from the piece alone.
            if piece.s1 - s >= margin && s - piece.straight0 >= margin
                || !path.near_end(ahead, s, margin, true)
            {
                acceleration.sample(t, x, piece, here);
            }
        }
    }

    /// What needs the pulses of all axes together.
    fn take_path(&mut self, run: &Run, (path, ahead, piece): (&Path, usize, &Segment)) {
        let turns = &path.passed_turns;
        let margins: Point = std::array::from_fn(|axis| margin(piece, axis));
        let major = piece.u.map(|u| u.abs() >= MAJOR);
        for pulse in run.all() {
            let (t, here) = (pulse.here.tick, &pulse.here);
            let axis = usize::from(pulse.axis).min(AXES - 1);
            let crossing = &pulse.crossing;
            if pulse.waited || !crossing.exact {
                continue;
            }
            // One that may have come after the turn that it was put before is no sample there.
            if t >= self.curves.due && crossing.firm {
                let on = crossing.on.map(|s| (s, piece));
                self.curves
                    .sample((t, pulse.s), (axis, crossing.x), on, turns, here);
            }
            let Some(s) = crossing.on else { continue };
            let margin = margins[axis];
            if major[axis]
                && (piece.s1 - s >= margin && s - piece.leg0 >= margin
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
