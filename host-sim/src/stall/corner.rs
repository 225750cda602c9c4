//! Sudden changes of speed, where one move ends and the next begins, against what a motor follows
//! without a ramp.
//!
//! A data sheet's start-stop rate f is the step rate at which the bare motor, without load, starts from
//! rest and stops again with no step lost. Seen from a field that turns at the new rate, the rotor comes
//! at it with the difference of the speeds, and it is caught if ½·J·Δω² is less than what the torque
//! takes up within a step. So
//!
//! - what counts is the change of speed of the motor, from whatever speed;
//! - with a load the rate goes down with the root of the inertia, f/√(1 + J_load/J_rotor) (as motor
//!   makers' guides and T. Kenjo, *Stepping Motors and Their Microprocessor Controls*, have it; memory);
//! - at speed the motor has less torque to catch it with, and the rate goes down with the root of that
//!   too: from the same energy, not from a source.
//!
//! Friction, cut and weight are not in it: where they are a good part of the torque, the margin by torque
//! is small as well.

use crate::parts::Driven;

/// A sudden change of the speed of one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Change {
    /// Speeds before and after, mm/s.
    pub speeds_mm_s: [f64; 2],
}

impl Change {
    /// The change, mm/s, 0 or more.
    pub fn size_mm_s(&self) -> f64 {
        (self.speeds_mm_s[1] - self.speeds_mm_s[0]).abs()
    }

    /// The most that the motor follows there, mm/s of the axis; none where its start-stop rate is not
    /// known.
    pub fn allowed_mm_s(&self, driven: &Driven) -> Option<f64> {
        let start_stop = driven.drive().speed_mm_s(driven.motor().start_stop_rpm?);
        let inertia = driven.motor().rotor_inertia_kg_m2 / driven.inertia_kg_m2();
        let [before, after] = self.speeds_mm_s.map(f64::abs);
        let at_rest = driven.torque_available(0.0);
        let torque = if at_rest > 0.0 {
            let here = driven.torque_available(driven.motor_rpm(before.max(after)));
            // A curve that begins low and rises makes no motor that catches more than it starts.
            (here / at_rest).min(1.0)
        } else {
            0.0
        };
        Some(start_stop * (inertia * torque).sqrt())
    }

    /// How bad it is: the part of what is allowed, or the bare size where that is not known.
    pub fn weight(&self, allowed_mm_s: Option<f64>) -> f64 {
        match allowed_mm_s {
            // Nothing is allowed where there is no torque.
            Some(allowed) => self.size_mm_s() / allowed.max(f64::MIN_POSITIVE),
            None => self.size_mm_s(),
        }
    }
}

/// Full steps of the motor a second at `speed_mm_s` of the axis.
pub(super) fn full_steps_per_s(driven: &Driven, speed_mm_s: f64) -> f64 {
    driven.motor_rpm(speed_mm_s) / 60.0 * f64::from(driven.drive().full_steps)
}
