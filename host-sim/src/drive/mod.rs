//! What turns the motor's turns into travel: screws, toothed belts, racks.
//!
//! Lengths are in mm, forces in N, torques in N·m, inertias in kg·m², speeds of shafts in rpm.
//! "Turn" is a turn of the drive's own shaft (the screw, the pulley, the pinion); the motor makes
//! [`Drive::ratio`] turns for it.
//!
//! ```
//! use spokeshave_sim::drive::{Belt, Drive, Losses, Mechanism};
//! let drive = Drive {
//!     mechanism: Mechanism::Belt(Belt {
//!         pitch_mm: 2.0,
//!         teeth: 20,
//!         pulley_inertia_kg_m2: 0.0,
//!         losses: Losses::Efficiency(0.95),
//!     }),
//!     ratio: 1.0,
//!     full_steps: 200,
//!     microsteps: 16,
//! };
//! assert_eq!(drive.travel_per_turn_mm(), 40.0);
//! assert_eq!(drive.steps_per_mm(), 80.0);
//! // 6 m/min are 150 turns a minute.
//! assert_eq!(drive.motor_rpm(100.0), 150.0);
//! ```

mod belt;
mod column;
mod losses;
mod rack;
mod screw;
pub mod standards;

pub use belt::Belt;
pub use column::{BUCKLING_PART, Ends, WHIP_PART};
pub use losses::{Collar, Losses};
pub use rack::Rack;
pub use screw::{Screw, ScrewKind};

use std::f64::consts::TAU;

/// Millimetres in a metre.
const MM_PER_M: f64 = 1e3;

/// The drive of one axis.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// Screw, belt or rack.
    pub mechanism: Mechanism,
    /// Turns of the motor for one turn of the drive's shaft: more than 0; 1 for a direct coupling.
    pub ratio: f64,
    /// Full steps of the motor in a turn: 200 for a step angle of 1.8°.
    pub full_steps: u16,
    /// Steps that the driver makes of a full step.
    pub microsteps: u16,
}

/// What moves the axis.
#[derive(Clone, Debug, PartialEq)]
pub enum Mechanism {
    /// A lead screw or a ball screw with its nut.
    Screw(Screw),
    /// A toothed belt and its pulley.
    Belt(Belt),
    /// A rack and its pinion.
    Rack(Rack),
}

impl Drive {
    /// Travel in one turn of the drive's shaft, mm: lead = pitch × starts for a screw, pitch × teeth
    /// for a belt, π × module × teeth for a rack.
    pub fn travel_per_turn_mm(&self) -> f64 {
        match &self.mechanism {
            Mechanism::Screw(screw) => screw.lead_mm,
            Mechanism::Belt(belt) => belt.travel_per_turn_mm(),
            Mechanism::Rack(rack) => rack.travel_per_turn_mm(),
        }
    }

    /// Steps (microsteps) for 1 mm of travel.
    pub fn steps_per_mm(&self) -> f64 {
        self.steps_per_turn() * self.ratio / self.travel_per_turn_mm()
    }

    /// Steps (microsteps) in a turn of the motor.
    pub fn steps_per_turn(&self) -> f64 {
        f64::from(self.full_steps) * f64::from(self.microsteps)
    }

    /// How fast the motor turns, rpm, while the axis moves at `speed_mm_s`; of the same sign.
    pub fn motor_rpm(&self, speed_mm_s: f64) -> f64 {
        speed_mm_s / self.travel_per_turn_mm() * self.ratio * 60.0
    }

    /// How fast the axis moves, mm/s, while the motor turns at `rpm`: the inverse of
    /// [`motor_rpm`](Self::motor_rpm).
    pub fn speed_mm_s(&self, rpm: f64) -> f64 {
        rpm / 60.0 / self.ratio * self.travel_per_turn_mm()
    }

    /// Radians that the motor turns in 1 mm of travel.
    pub fn motor_radians_per_mm(&self) -> f64 {
        TAU * self.ratio / self.travel_per_turn_mm()
    }

    /// Inertia of the drive's own shaft at that shaft, kg·m²: of the screw, or of what was given for
    /// pulleys and pinion.
    pub fn shaft_inertia_kg_m2(&self) -> f64 {
        match &self.mechanism {
            Mechanism::Screw(screw) => screw.inertia_kg_m2(),
            Mechanism::Belt(belt) => belt.pulley_inertia_kg_m2,
            Mechanism::Rack(rack) => rack.pinion_inertia_kg_m2,
        }
    }

    /// Inertia that a motor feels of the drive and of `mass_kg` moved by it, kg·m²: that of the shaft
    /// over ratio², and m·(l/2π)² of a mass that moves l in a turn of the motor, from
    /// ½·m·v² = ½·J·ω².
    pub fn inertia_at_motor_kg_m2(&self, mass_kg: f64) -> f64 {
        let metres_per_radian = 1.0 / (MM_PER_M * self.motor_radians_per_mm());
        self.shaft_inertia_kg_m2() / self.ratio.powi(2) + mass_kg * metres_per_radian.powi(2)
    }

    /// Torque of the motor, N·m, in the direction of the motion, that makes the drive push with
    /// `force_n` in that direction at a constant speed. A force below 0 is one of a load that pushes
    /// the drive along: then friction helps to hold it, and a self-locking drive needs a torque above
    /// 0 all the same.
    ///
    /// Losses of a reduction between motor and drive are not known apart: they count in the
    /// efficiency of the drive.
    pub fn motor_torque_nm(&self, force_n: f64) -> f64 {
        self.losses()
            .shaft_torque_nm(force_n, self.travel_per_turn_mm(), self.thread())
            / self.ratio
    }

    /// Part of the motor's work that reaches the load: 0 to 1. The friction of a collar depends on the
    /// force as the thread's does, so neither does this depend on the force.
    pub fn efficiency(&self) -> f64 {
        self.lossless_torque_nm() / self.motor_torque_nm(1.0)
    }

    /// Part of the load's work that reaches the motor when the load drives; 0 or less where the drive
    /// is self-locking: then no load moves the motor (but vibration may, and does in practice).
    pub fn efficiency_back(&self) -> f64 {
        -self.motor_torque_nm(-1.0) / self.lossless_torque_nm()
    }

    /// Whether a steady load cannot turn the motor. Common practice, no source: never trust it to hold
    /// a load that vibrates.
    pub fn is_self_locking(&self) -> bool {
        self.efficiency_back() <= 0.0
    }

    fn lossless_torque_nm(&self) -> f64 {
        1.0 / (MM_PER_M * self.motor_radians_per_mm())
    }

    /// What the drive loses to friction.
    pub fn losses(&self) -> Losses {
        match &self.mechanism {
            Mechanism::Screw(screw) => screw.losses,
            Mechanism::Belt(belt) => belt.losses,
            Mechanism::Rack(rack) => rack.losses,
        }
    }

    /// The screw, where it is one.
    pub fn screw(&self) -> Option<&Screw> {
        match &self.mechanism {
            Mechanism::Screw(screw) => Some(screw),
            _ => None,
        }
    }

    /// Mean diameter of the thread, mm, where there is one.
    fn thread(&self) -> f64 {
        self.screw().map_or(0.0, Screw::mean_diameter_mm)
    }

    /// The fastest that the axis may move before the screw whips, mm/s: [`WHIP_PART`] of the critical
    /// speed; none without a screw.
    pub fn whip_speed_mm_s(&self) -> Option<f64> {
        let rpm = WHIP_PART * self.screw()?.critical_rpm();
        Some(self.speed_mm_s(rpm * self.ratio))
    }

    /// The most that the screw may be pushed with, N: [`BUCKLING_PART`] of its Euler load; none without
    /// a screw.
    pub fn most_push_n(&self) -> Option<f64> {
        Some(BUCKLING_PART * self.screw()?.euler_load_n())
    }
}
