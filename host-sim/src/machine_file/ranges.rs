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
