//! The worst moment of one axis in a ramp, found exactly.
//!
//! Within a ramp the acceleration is constant and no axis turns round. The force on the axis then
//! depends on its direction and its acceleration alone: friction and the cutting force are what the
//! machine file gives, at any speed. So is the torque that a motor must give: one number for the whole
//! ramp. What the motor has is a function of its speed, and the speed runs over one interval. The margin
//! is least where the motor has least in it:
//!
//! - a curve is straight between its points: its least value in an interval lies at an end of it or at a
//!   point within; past its last point it is 0, which the end of the interval finds;
//! - an estimate never rises with the speed, so its least value lies at the fastest end. (A current d
//!   against the field and q along the back-EMF asks for the voltage squared
//!   R²(d² + q²) + ω²((p·L·q)² + (K − p·L·d)²) + 2·R·K·q·ω, with p electrical turns a turn: for q ≥ 0 no
//!   term of it falls with ω. So each current that a higher speed allows, a lower one allows too.)
//!
//! A cut may push with anything from nothing to the cutting force: into wood and out of it. As a function
//! of the force on the drive the torque is two straight lines that meet where the force is 0 (where the
//! load begins to drive). So its size is greatest with all of the cut, with none of it, or with the part
//! that leaves no force: then the torque is what turns rotor and drive alone.

use crate::motor::Torque;
use crate::parts::Driven;

/// The motion of one axis over a ramp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    /// Speed at its ends, mm/s, its sign the direction; both 0 where the axis stands.
    pub speeds_mm_s: [f64; 2],
    /// Acceleration, mm/s², signed alike.
    pub acceleration_mm_s2: f64,
    /// The move cuts.
    pub cuts: bool,
}

/// The worst moment of a stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Worst {
    /// Torque that each motor must give, N·m.
    pub needed_nm: f64,
    /// Torque that each motor has there, N·m.
    pub available_nm: f64,
    /// Speed of the axis there, mm/s.
    pub speed_mm_s: f64,
    /// The cutting force is in the torque.
    pub cut: bool,
}

impl Worst {
    /// Torque available over torque needed; none where no torque is needed.
    pub fn margin(&self) -> Option<f64> {
        (self.needed_nm > 0.0).then(|| self.available_nm / self.needed_nm)
    }
}

impl Stretch {
    /// The axis moves.
    pub fn moves(&self) -> bool {
        self.speeds_mm_s != [0.0; 2]
    }

    /// Its worst moment.
    pub fn worst(&self, driven: &Driven) -> Worst {
        let without = self.needed(driven, false);
        let (mut needed_nm, mut cut) = (without, false);
        if self.cuts {
            let most = self.needed(driven, true).max(self.without_force(driven));
            (needed_nm, cut) = (most.max(without), most > without);
        }
        let (speed_mm_s, available_nm) = self.least_available(driven);
        Worst {
            needed_nm,
            available_nm,
            speed_mm_s,
            cut,
        }
    }

    fn needed(&self, driven: &Driven, cutting: bool) -> f64 {
        if self.moves() {
            // Any speed within will do, and at rest the direction would be lost.
            let [entry, exit] = self.speeds_mm_s;
            driven.torque_needed(0.5 * (entry + exit), self.acceleration_mm_s2, cutting)
        } else {
            let push = if cutting {
                driven.load().cutting_force_n
            } else {
                0.0
            };
            driven.standing_torque(push)
        }
    }

    /// Torque with the part of the cut that leaves no force on the drive; 0 where none does.
    fn without_force(&self, driven: &Driven) -> f64 {
        let force = |cutting| {
            let [entry, exit] = self.speeds_mm_s;
            let middle = 0.5 * (entry + exit);
            driven.force_n(middle, self.acceleration_mm_s2, cutting)
        };
        if !self.moves() || force(false) * force(true) >= 0.0 {
            return 0.0;
        }
        driven.turning_torque(self.acceleration_mm_s2).abs()
    }

    /// Where the motor has least, mm/s, and what it has there, N·m; of equals the first.
    fn least_available(&self, driven: &Driven) -> (f64, f64) {
        let [entry, exit] = self.speeds_mm_s;
        let at = |speed: f64| (speed, driven.torque_available(driven.motor_rpm(speed)));
        let mut least = at(entry);
        let mut see = |(speed, torque): (f64, f64)| {
            if torque < least.1 {
                least = (speed, torque);
            }
        };
        if let Torque::Curve(curve) = &driven.motor().torque {
            let (a, b) = (driven.motor_rpm(entry).abs(), driven.motor_rpm(exit).abs());
            let within = |rpm: &f64| a.min(b) < *rpm && *rpm < a.max(b);
            for (rpm, torque) in curve.points().iter().filter(|point| within(&point.0)) {
                see((
                    driven.drive().speed_mm_s(*rpm).copysign(entry + exit),
                    *torque,
                ));
            }
        }
        if exit != entry {
            see(at(exit));
        }
        least
    }
}
