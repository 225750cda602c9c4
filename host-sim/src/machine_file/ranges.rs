//! What a machine file may say, in numbers. Common practice for home-built routers, widened at
//! both ends, no source; beyond it a value is far more likely a slip of a unit or of a decimal.

use crate::quantity::Kind;
use crate::toml_file::bounds::{Bounds, bounds};
use std::ops::RangeInclusive;

pub(crate) const JUNCTION_DEVIATION: Bounds =
    bounds(Kind::Length, 0.0005, 1.0, "0.0005 mm to 1 mm");
pub(crate) const CHORD_TOLERANCE: Bounds = bounds(Kind::Length, 0.0001, 1.0, "0.0001 mm to 1 mm");
pub(crate) const LOOK_AHEAD: RangeInclusive<u32> = 2..=16384;

pub(crate) const TIMER: Bounds = bounds(Kind::Frequency, 1e4, 2e8, "10 kHz to 200 MHz");
pub(crate) const PULSE_WIDTH: Bounds = bounds(Kind::Time, 50e-9, 1e-3, "50 ns to 1 ms");
pub(crate) const PULSE_PERIOD: Bounds = bounds(Kind::Time, 100e-9, 10e-3, "100 ns to 10 ms");
pub(crate) const DIRECTION_SETUP: Bounds = bounds(Kind::Time, 0.0, 1e-3, "0 s to 1 ms");

pub(crate) const RESOLUTION: Bounds =
    bounds(Kind::Resolution, 0.1, 20_000.0, "0.1 to 20 000 steps/mm");
pub(crate) const SPEED_LIMIT: Bounds = bounds(Kind::Speed, 0.01, 2_000.0, "0.01 to 2 000 mm/s");
pub(crate) const ACCELERATION_LIMIT: Bounds =
    bounds(Kind::Acceleration, 1.0, 50_000.0, "1 to 50 000 mm/s^2");
pub(crate) const BACKLASH: Bounds = bounds(Kind::Length, 0.0, 5.0, "0 to 5 mm");
/// Also of work zeros. The planner keeps positions to 1/131 072 mm in 32 bits within it.
pub(crate) const POSITION: Bounds = bounds(Kind::Length, -10e3, 10e3, "-10 m to 10 m");

pub(crate) const SHAFT_DIAMETER: Bounds = bounds(Kind::Length, 2.0, 200.0, "2 to 200 mm");
pub(crate) const PITCH: Bounds = bounds(Kind::Length, 0.2, 100.0, "0.2 to 100 mm");
pub(crate) const MODULE: Bounds = bounds(Kind::Length, 0.1, 20.0, "0.1 to 20 mm");
pub(crate) const STARTS: RangeInclusive<u16> = 1..=12;
pub(crate) const SCREW_LENGTH: Bounds = bounds(Kind::Length, 20.0, 10e3, "20 mm to 10 m");
pub(crate) const THREAD_ANGLE: Bounds = bounds(Kind::Angle, 0.0, 60.0, "0 to 60 degrees");
pub(crate) const EFFICIENCY: Bounds = bounds(Kind::Part, 0.05, 1.0, "5 % to 100 %");
pub(crate) const FRICTION: Bounds = bounds(Kind::Part, 0.0, 1.0, "0 to 1");
pub(crate) const TEETH: RangeInclusive<u16> = 6..=500;
pub(crate) const RATIO: Bounds = bounds(Kind::Part, 0.01, 100.0, "0.01 to 100");
pub(crate) const FULL_STEPS: RangeInclusive<u16> = 4..=4000;
pub(crate) const MICROSTEPS: RangeInclusive<u16> = 1..=1024;

pub(crate) const MASS: Bounds = bounds(Kind::Mass, 0.01, 2_000.0, "0.01 to 2 000 kg");
pub(crate) const FORCE: Bounds = bounds(Kind::Force, 0.0, 20e3, "0 to 20 kN");
pub(crate) const SLOPE: Bounds = bounds(Kind::Angle, -90.0, 90.0, "-90 to 90 degrees");

pub(crate) const STALL_MARGIN: Bounds = bounds(Kind::Part, 1.0, 20.0, "1 to 20");
pub(crate) const MOTORS: RangeInclusive<u16> = 1..=2;
pub(crate) const MOTOR_SPEED: Bounds = bounds(Kind::Rotation, 0.0, 20e3, "0 to 20 000 rpm");
pub(crate) const TORQUE: Bounds = bounds(Kind::Torque, 0.0, 200.0, "0 to 200 N m");
pub(crate) const HOLDING_TORQUE: Bounds = bounds(Kind::Torque, 0.005, 200.0, "0.005 to 200 N m");
pub(crate) const CURRENT: Bounds = bounds(Kind::Current, 0.05, 50.0, "0.05 to 50 A");
pub(crate) const INDUCTANCE: Bounds = bounds(Kind::Inductance, 1e-5, 1.0, "0.01 mH to 1 H");
pub(crate) const RESISTANCE: Bounds = bounds(Kind::Resistance, 0.01, 500.0, "0.01 to 500 ohm");
pub(crate) const VOLTAGE: Bounds = bounds(Kind::Voltage, 1.0, 400.0, "1 to 400 V");
/// Of a rotor, of pulleys, of a pinion.
pub(crate) const INERTIA: Bounds = bounds(Kind::Inertia, 0.0, 1.0, "0 to 1 kg m^2");
pub(crate) const ROTOR_INERTIA: Bounds =
    bounds(Kind::Inertia, 1e-9, 1.0, "0.01 g cm^2 to 1 kg m^2");
