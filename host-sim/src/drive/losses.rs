//! What friction takes in a drive.

use super::MM_PER_M;
use std::f64::consts::{PI, TAU};

/// What a drive loses to friction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Losses {
    /// Part of the work that passes, 0 to 1, when the motor drives. When the load drives, 2 − 1/η
    /// passes: the same friction, felt from the other side (of square threads of a small lead, and of
    /// ball screws, as text books and data sheets have it, memory; 0 or less is self-locking).
    Efficiency(f64),
    /// Sliding friction of a thread.
    Friction {
        /// Coefficient of friction of the thread.
        coefficient: f64,
        /// Angle of the thread between its flanks, degrees: 30 for metric trapezoidal threads, 29 for
        /// Acme, 0 for square.
        thread_angle_deg: f64,
        /// A collar that slides, where there is one; a ball or roller thrust bearing is none.
        collar: Option<Collar>,
    },
}

/// A thrust collar that slides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collar {
    /// Mean diameter of the sliding ring, mm.
    pub diameter_mm: f64,
    /// Coefficient of friction.
    pub coefficient: f64,
}

impl Losses {
    /// Torque at the drive's shaft, N·m, in the direction of the motion, to push with `force_n` (below
    /// 0: to hold back) over a travel of `lead_mm` in a turn; `mean_mm` is the mean diameter of the
    /// thread, if it is one.
    pub(super) fn shaft_torque_nm(self, force_n: f64, lead_mm: f64, mean_mm: f64) -> f64 {
        match self {
            Self::Efficiency(efficiency) => {
                let lossless = force_n * lead_mm / (TAU * MM_PER_M);
                if force_n >= 0.0 {
                    lossless / efficiency
                } else {
                    lossless * (2.0 - 1.0 / efficiency)
                }
            }
            // Shigley's Mechanical Engineering Design, 9th ed., §8-2, equations 8-1, 8-2 and 8-6, with
            // the thread angle's secant at the friction of the thread (memory).
            Self::Friction {
                coefficient,
                thread_angle_deg,
                collar,
            } => {
                let friction = coefficient / (thread_angle_deg / 2.0).to_radians().cos();
                let push = force_n.abs();
                let thread = if force_n >= 0.0 {
                    (lead_mm + PI * friction * mean_mm) / (PI * mean_mm - friction * lead_mm)
                } else {
                    (PI * friction * mean_mm - lead_mm) / (PI * mean_mm + friction * lead_mm)
                };
                let collar = collar.map_or(0.0, |collar| collar.coefficient * collar.diameter_mm);
                push * (thread * mean_mm + collar) / (2.0 * MM_PER_M)
            }
        }
    }

    /// Whether the thread would jam: friction so high on a thread so steep that no torque lifts a load.
    pub(crate) fn jams(self, lead_mm: f64, mean_mm: f64) -> bool {
        match self {
            Self::Efficiency(_) => false,
            Self::Friction { .. } => {
                let torque = self.shaft_torque_nm(1.0, lead_mm, mean_mm);
                torque <= 0.0 || !torque.is_finite()
            }
        }
    }
}
