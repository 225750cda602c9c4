//! A machine whose numbers are easily worked out: bare axes, and y on a belt.

use spokeshave_sim::machine_file::{self, WithParts};
use spokeshave_sim::program::{Reader, Settings};
use spokeshave_sim::run::plan;
use spokeshave_sim::stall::{Stall, StallWatch};

/// x and z by their resolution, y with a belt of 40 mm a turn and no losses, 10 N of friction. `MASS`,
/// `COUNT` and `CURVE` stand for numbers.
const TEXT: &str = r#"
name = "weak bench"
junction_deviation = "0.02 mm"
look_ahead = 32
[controller]
timer = "1 MHz"
pulse_width = "2 us"
pulse_period = "5 us"
direction_setup = "5 us"
[axis.x]
resolution = "80 steps/mm"
speed_limit = "100 mm/s"
acceleration_limit = "500 mm/s^2"
travel = ["-100 mm", "200 mm"]
[axis.y]
speed_limit = "100 mm/s"
acceleration_limit = "500 mm/s^2"
travel = ["-100 mm", "200 mm"]
[axis.y.drive]
kind = "belt"
pitch = "2 mm"
teeth = 20
efficiency = "100 %"
shaft_inertia = "0 g cm^2"
full_steps = 200
microsteps = 16
[axis.y.load]
mass = "MASS kg"
friction_force = "10 N"
[axis.y.motor]
count = COUNT
torque_curve = CURVE
rotor_inertia = "100 g cm^2"
[axis.z]
resolution = "80 steps/mm"
speed_limit = "100 mm/s"
acceleration_limit = "500 mm/s^2"
travel = ["-100 mm", "100 mm"]
"#;

/// 0.3 N·m up to 90 rpm, which are 60 mm/s; at 150 rpm, 100 mm/s, 0.3 − 0.27 · 60/90 = 0.12 N·m.
pub const FALLING: &str =
    r#"[["0 rpm", "0.3 N m"], ["90 rpm", "0.3 N m"], ["180 rpm", "0.03 N m"]]"#;
/// The same at any speed of the machine.
pub const FLAT: &str = r#"[["0 rpm", "0.2 N m"], ["300 rpm", "0.2 N m"]]"#;

pub fn text(mass_kg: u32, count: u32, curve: &str) -> String {
    TEXT.replace("MASS", &mass_kg.to_string())
        .replace("COUNT", &count.to_string())
        .replace("CURVE", curve)
}

/// Millimetres of travel for a radian of the motor, as m: 0.04 m / 2π.
pub const ARM_M: f64 = 0.04 / std::f64::consts::TAU;
/// Of the rotor, kg·m²: 100 g·cm².
pub const ROTOR: f64 = 1e-5;
pub const FRICTION_N: f64 = 10.0;

/// Torque that one motor of y must give, by hand: friction and inertia over the arm of the belt, and the
/// rotor. `acceleration` in mm/s², more than 0 where it gathers speed.
pub fn needed_nm(mass_kg: f64, acceleration: f64) -> f64 {
    let a = acceleration / 1e3;
    ((FRICTION_N + mass_kg * a) * ARM_M + ROTOR * a / ARM_M).abs()
}

pub fn machine(text: &str) -> WithParts {
    machine_file::read_with_parts("weak.toml", text).unwrap()
}

/// What is found of `program`.
pub fn stall(file: &WithParts, program: &str) -> Stall {
    let settings = Settings::for_machine(&file.machine);
    let reader = Reader::new("part.nc", program.as_bytes(), settings.clone());
    let mut watch = StallWatch::new(file).expect("y has a motor");
    plan(&file.machine, settings.start, reader, &mut watch).unwrap();
    watch.finish()
}

/// Equal but for what single precision makes of speeds: ramps are some ms long, so their acceleration is
/// right to 4 · 2⁻²³ · 100 mm/s in 5 mm/s, 1e-5 of it; the last of a move may be ten times shorter.
#[track_caller]
pub fn close(found: f64, expected: f64) {
    assert!((found / expected - 1.0).abs() < 1e-4, "{found} {expected}");
}
