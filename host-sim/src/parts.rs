//! The parts behind an axis: drive, load, motor; and the torque that motion needs beside the torque
//! that the motor has.
//!
//! ```
//! use spokeshave_sim::machine_file;
//! # let text = include_str!("../../docs/demo/belt-router.toml");
//! let file = machine_file::read_with_parts("router.toml", text)?;
//! let z = file.driven(2).expect("the file gives drive, load and motor of z");
//! // Upwards at 10 mm/s, gathering speed at 100 mm/s², cutting: at each motor, N·m.
//! let needed = z.torque_needed(10.0, 100.0, true);
//! let available = z.torque_available(z.motor_rpm(10.0));
//! assert!(available > 2.0 * needed);
//! # Ok::<(), spokeshave_sim::input_error::InputError>(())
//! ```

use crate::drive::Drive;
use crate::load::{Load, direction};
use crate::motor::Motor;

/// The parts of one axis, as far as the machine file gives them.
#[derive(Clone, Debug, PartialEq)]
pub struct Parts {
    /// What turns turns into travel.
    pub drive: Drive,
    /// What is moved.
    pub load: Option<Load>,
    /// What turns.
    pub motor: Option<Motor>,
}

impl Parts {
    /// All three, where there are all three.
    pub fn driven(&self) -> Option<Driven> {
        Some(Driven::new(
            self.drive.clone(),
            self.load?,
            self.motor.clone()?,
        ))
    }
}

/// An axis whose drive, load and motor are known.
///
/// Where two motors turn the axis, each turns a drive of its own, and each has half of the load. (Where
/// the mass sits to one side, its motor has more; the safety factor has to cover it.)
///
/// What a job asks over and over is worked out once: the torque of the load is in proportion to its force.
#[derive(Clone, Debug, PartialEq)]
pub struct Driven {
    drive: Drive,
    load: Load,
    motor: Motor,
    /// What the drive carries of the weight, N.
    weight_n: f64,
    /// Torque of the motor for each newton that the drive pushes with, and for each that pushes it, N·m.
    pushing_nm_per_n: f64,
    pushed_nm_per_n: f64,
    /// Torque that turns rotor and drive alone, N·m for each mm/s² of the axis.
    turning_nm_per_mm_s2: f64,
    rpm_per_mm_s: f64,
}

impl Driven {
    fn new(drive: Drive, load: Load, motor: Motor) -> Self {
        let turning = motor.rotor_inertia_kg_m2 + drive.inertia_at_motor_kg_m2(0.0);
        Self {
            weight_n: load.weight_n(),
            pushing_nm_per_n: drive.motor_torque_nm(1.0),
            pushed_nm_per_n: -drive.motor_torque_nm(-1.0),
            turning_nm_per_mm_s2: turning * drive.motor_radians_per_mm(),
            rpm_per_mm_s: drive.motor_rpm(1.0),
            drive,
            load,
            motor,
        }
    }

    /// What turns turns into travel.
    pub fn drive(&self) -> &Drive {
        &self.drive
    }

    /// What is moved.
    pub fn load(&self) -> &Load {
        &self.load
    }

    /// What turns.
    pub fn motor(&self) -> &Motor {
        &self.motor
    }

    /// Torque of each motor, N·m, in the direction of the motion, for a force of the load in that direction.
    fn torque_of(&self, force_n: f64) -> f64 {
        let each = force_n / f64::from(self.motor.count);
        if each >= 0.0 {
            each * self.pushing_nm_per_n
        } else {
            each * self.pushed_nm_per_n
        }
    }

    /// Force, N, in the positive direction, with which the drives push: see [`Load::force_n`].
    pub(crate) fn force_n(&self, speed_mm_s: f64, acceleration_mm_s2: f64, cutting: bool) -> f64 {
        self.load
            .force_with(self.weight_n, speed_mm_s, acceleration_mm_s2, cutting)
    }

    /// Torque that turns rotor and drive alone at this acceleration, N·m, signed alike.
    pub(crate) fn turning_torque(&self, acceleration_mm_s2: f64) -> f64 {
        self.turning_nm_per_mm_s2 * acceleration_mm_s2
    }

    /// Torque that the motion asks of each motor, N·m, 0 or more: see
    /// [`signed_torque`](Self::signed_torque).
    pub fn torque_needed(&self, speed_mm_s: f64, acceleration_mm_s2: f64, cutting: bool) -> f64 {
        self.signed_torque(speed_mm_s, acceleration_mm_s2, cutting)
            .abs()
    }

    /// Torque that the motion asks of each motor, N·m; more than 0 turns it so that the axis moves in
    /// its positive direction.
    ///
    /// `speed_mm_s` is signed: its sign is the direction. `acceleration_mm_s2` is signed alike: with the
    /// same sign the axis gathers speed, with the other it brakes. At a speed of 0 it starts from rest
    /// where the acceleration points; with both 0 it is what holds the load, and friction of the guides
    /// helps. `cutting` adds the cutting force, against the motion.
    ///
    /// Torque of the load through the drive with its losses, over the motors and the ratio; and
    /// J·α of rotor and drive, which turn without these losses.
    pub fn signed_torque(&self, speed_mm_s: f64, acceleration_mm_s2: f64, cutting: bool) -> f64 {
        let towards = direction(speed_mm_s, acceleration_mm_s2);
        if towards == 0.0 {
            return self.holding_torque();
        }
        let force = self.force_n(speed_mm_s, acceleration_mm_s2, cutting);
        towards * self.torque_of(force * towards) + self.turning_torque(acceleration_mm_s2)
    }

    /// Torque that each motor must have so that the load stays where it is, N·m, signed as
    /// [`signed_torque`](Self::signed_torque); 0 where friction and drive hold it by themselves. It is
    /// also what turns the motor when it has no current.
    pub fn holding_torque(&self) -> f64 {
        self.weight_n.signum() * self.standing_torque(0.0)
    }

    /// The same without its sign, where `push_n` comes to the weight, from the side that asks for more: a
    /// cut that another axis makes.
    pub fn standing_torque(&self, push_n: f64) -> f64 {
        let force = self.weight_n.abs() + push_n;
        let pull = (force - self.load.friction_n).max(0.0);
        (-self.torque_of(-pull)).max(0.0)
    }

    /// Torque that each motor has before it falls out of step, N·m, at `motor_rpm` of either sign, with
    /// no safety factor in it. See [`motor_rpm`](Self::motor_rpm).
    pub fn torque_available(&self, motor_rpm: f64) -> f64 {
        self.motor.torque_available(motor_rpm)
    }

    /// How fast the motor turns, rpm, while the axis moves at `speed_mm_s`; of the same sign.
    pub fn motor_rpm(&self, speed_mm_s: f64) -> f64 {
        speed_mm_s * self.rpm_per_mm_s
    }

    /// Inertia that each motor turns, at its shaft, kg·m²: rotor, drive, and its part of the load.
    pub fn inertia_kg_m2(&self) -> f64 {
        let mass = self.load.moving_mass_kg / f64::from(self.motor.count);
        self.motor.rotor_inertia_kg_m2 + self.drive.inertia_at_motor_kg_m2(mass)
    }

    /// The most torque that motion at this speed and acceleration (both 0 or more) asks of each motor,
    /// N·m: gathering speed or braking, in either direction, cutting where the load may cut.
    pub fn worst_torque(&self, speed_mm_s: f64, acceleration_mm_s2: f64) -> f64 {
        let cutting = self.load.cuts_at(speed_mm_s);
        let mut worst: f64 = 0.0;
        for towards in [1.0, -1.0] {
            for change in [1.0, -1.0] {
                // Braking may come when a cut has just ended, so it gets no help from it.
                let cutting = cutting && change > 0.0;
                let torque = self.torque_needed(
                    towards * speed_mm_s,
                    towards * change * acceleration_mm_s2,
                    cutting,
                );
                worst = worst.max(torque);
            }
        }
        worst
    }

    /// The highest acceleration, mm/s², that each motor can give at `speed_mm_s`, with its torque
    /// divided by `safety`, in either direction, gathering speed and braking, cutting where the load
    /// may cut; 0 where it cannot even hold the speed. Found by halving an interval, to 1e-9 of it.
    pub fn acceleration_at(&self, speed_mm_s: f64, safety: f64) -> f64 {
        let most = self.torque_available(self.motor_rpm(speed_mm_s)) / safety;
        let can = |acceleration: f64| self.worst_torque(speed_mm_s, acceleration) <= most;
        if !can(0.0) {
            return 0.0;
        }
        let (mut low, mut high) = (0.0, FASTEST_MM_S2);
        if can(high) {
            return high;
        }
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if can(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }
}

/// No axis is looked at beyond this, mm/s²: what machine files may say at most.
const FASTEST_MM_S2: f64 = 50_000.0;
