//! The speeds above which an axis may not go, and the accelerations that its parts allow.

use crate::machine::Controller;
use crate::machine_file::controller::most_steps_per_s;
use crate::machine_file::ranges;
use crate::motor::Torque;
use crate::parts::{Driven, Parts};
use serde::Serialize;

/// What holds a limit where it is. The names are those of the JSON.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Bound {
    /// The motor has no torque to spare beyond.
    Torque,
    /// The torque curve of the data sheet ends there.
    EndOfCurve,
    /// The screw would whip.
    Whip,
    /// The screw could buckle.
    Buckling,
    /// The driver takes no more steps a second: `pulse_period`.
    Driver,
    /// The timer of the controller makes no more steps a second.
    Timer,
    /// Machine files hold no more.
    Range,
    /// More of it would cost more of the other limit than it gains.
    Choice,
    /// The file says it.
    File,
}

impl Bound {
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Torque => "torque",
            Self::EndOfCurve => "end of curve",
            Self::Whip => "screw whip",
            Self::Buckling => "screw buckling",
            Self::Driver => "driver's steps",
            Self::Timer => "timer's steps",
            Self::Range => "range of files",
            Self::Choice => "torque, by choice",
            Self::File => "the file",
        }
    }
}

/// A speed that an axis may not pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ceiling {
    /// What holds it there.
    pub bound: Bound,
    /// The speed, mm/s.
    pub speed_mm_s: f64,
}

/// The ceilings of an axis that are known without its motor, in the order in which they are told.
pub(super) fn without_motor(parts: &Parts, controller: &Controller) -> Vec<Ceiling> {
    let ticks = controller.pulse_period_s * f64::from(controller.timer_hz);
    let stepping = Ceiling {
        // The timer makes a step in two ticks at best; the driver may want more.
        bound: if ticks <= 2.0 {
            Bound::Timer
        } else {
            Bound::Driver
        },
        speed_mm_s: most_steps_per_s(controller) / parts.drive.steps_per_mm(),
    };
    let whip = parts.drive.whip_speed_mm_s().map(|speed_mm_s| Ceiling {
        bound: Bound::Whip,
        speed_mm_s,
    });
    let range = Ceiling {
        bound: Bound::Range,
        speed_mm_s: ranges::SPEED_LIMIT.most,
    };
    whip.into_iter().chain([stepping, range]).collect()
}

/// The speed at which the motor's torque is used up by moving alone, without acceleration.
pub(super) fn of_torque(driven: &Driven, safety: f64) -> Ceiling {
    let last_mm_s = driven.drive().speed_mm_s(driven.motor().last_rpm());
    let keeps = |speed| possible_acceleration(driven, speed, safety) > 0.0;
    if keeps(last_mm_s) {
        let bound = match driven.motor().torque {
            Torque::Curve(_) => Bound::EndOfCurve,
            Torque::Estimate(_) => Bound::Torque,
        };
        return Ceiling {
            bound,
            speed_mm_s: last_mm_s,
        };
    }
    Ceiling {
        bound: Bound::Torque,
        speed_mm_s: halve(last_mm_s, keeps),
    }
}

/// The highest acceleration, mm/s², that an axis can have at all speeds up to `speed_mm_s`, with the
/// torque of the motor divided by `safety`: 0 where it cannot even hold them.
///
/// Between the points of a torque curve everything is straight, and an estimate only falls, so the
/// least lies at a point, at the end, or where cutting ends.
pub(super) fn possible_acceleration(driven: &Driven, speed_mm_s: f64, safety: f64) -> f64 {
    let of_curve = match &driven.motor().torque {
        Torque::Curve(curve) => curve.points(),
        Torque::Estimate(_) => &[],
    };
    of_curve
        .iter()
        .map(|point| driven.drive().speed_mm_s(point.0))
        .chain(driven.load().cutting_speed_mm_s)
        .filter(|speed| *speed < speed_mm_s)
        .chain([0.0, speed_mm_s])
        .map(|speed| driven.acceleration_at(speed, safety))
        .fold(f64::INFINITY, f64::min)
}

/// The highest acceleration, mm/s², at which the drive's screw cannot buckle; infinite without a
/// screw, below 0 where it might without any.
pub(super) fn of_buckling(driven: &Driven) -> f64 {
    let Some(most_n) = driven.drive().most_push_n() else {
        return f64::INFINITY;
    };
    let motors = f64::from(driven.motor().count);
    (most_n * motors - steady_push_n(driven)) / driven.load().moving_mass_kg * 1e3
}

/// The most that all drives of the axis push with at a constant speed, N.
fn steady_push_n(driven: &Driven) -> f64 {
    let load = driven.load();
    load.weight_n().abs() + load.friction_n + load.cutting_force_n
}

/// The most that each drive of the axis pushes with, N.
pub(super) fn push_n(driven: &Driven, acceleration_mm_s2: f64) -> f64 {
    let inertia = driven.load().moving_mass_kg * acceleration_mm_s2 / 1e3;
    (steady_push_n(driven) + inertia) / f64::from(driven.motor().count)
}

/// The largest number from 0 to `most`, to 2⁻⁶⁰ of it, for which `holds` is true, which it is up to
/// some number and not beyond.
pub(crate) fn halve(most: f64, holds: impl Fn(f64) -> bool) -> f64 {
    if holds(most) {
        return most;
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}
