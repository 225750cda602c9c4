//! The tables `[axis.x]`, `[axis.y]` and `[axis.z]`.

use super::controller::most_steps_per_s;
use super::draft::DraftAxis;
use super::keys;
use super::parts;
use super::ranges;
use crate::drive::Drive;
use crate::input_error::InputError;
use crate::machine::{Axis, Controller};
use crate::motion::AXES;
use crate::parts::Parts;
use crate::program::travel::mm;
use crate::toml_file::{Table, Value};

/// An axis without its limits.
pub(super) struct Frame {
    steps_per_mm: f64,
    pub(super) travel_mm: [f64; 2],
    backlash_mm: f64,
}

/// The axes in their order, with the limits `L` of each, and the parts behind them.
pub(super) struct Read<L> {
    pub(super) axes: [(Frame, L); AXES],
    pub(super) parts: [Option<Parts>; AXES],
}

/// Speed limit, mm/s, and acceleration limit, mm/s², of an axis of so many steps/mm, from its table.
pub(super) type Limits<L> = fn(&Table<'_>, f64, &Controller) -> Result<L, InputError>;

/// Reads the axes in their order, each with its limits as `limits` reads them.
pub(super) fn read_all<L>(
    table: &Table<'_>,
    controller: &Controller,
    limits: Limits<L>,
) -> Result<Read<L>, InputError> {
    let [x, y, z] = keys::AXES;
    let one = |name| {
        let table = table.required(name)?.table()?;
        let (axis, drive) = read(&table, controller, limits)?;
        Ok((table, axis, drive))
    };
    let ((x_table, x, x_drive), (y_table, y, y_drive), (z_table, z, z_drive)) =
        (one(x)?, one(y)?, one(z)?);
    let parts = parts::read(&[x_table, y_table, z_table], [x_drive, y_drive, z_drive])?;
    Ok(Read {
        axes: [x, y, z],
        parts,
    })
}

fn read<L>(
    table: &Table<'_>,
    controller: &Controller,
    limits: Limits<L>,
) -> Result<((Frame, L), Option<Drive>), InputError> {
    let (steps_per_mm, drive) = parts::resolution(table)?;
    let limits = limits(table, steps_per_mm, controller)?;
    let travel = table.required("travel")?;
    let [lower, upper] = travel.pair()?;
    let (lower_mm, upper_mm) = (
        lower.within(&ranges::POSITION)?,
        upper.within(&ranges::POSITION)?,
    );
    if upper_mm <= lower_mm {
        return Err(upper.error(
            format!(
                "the upper end of travel, {upper_mm} mm, is not above the lower, {lower_mm} mm"
            ),
            "write the lower end first",
        ));
    }
    if let Some(screw) = drive.as_ref().and_then(Drive::screw)
        && screw.length_mm <= upper_mm - lower_mm
    {
        let length = table.required("drive")?.table()?.required("length")?;
        return Err(length.error(
            format!(
                "the screw is {} mm long between its bearings, and the travel of the axis {} mm",
                mm(screw.length_mm),
                mm(upper_mm - lower_mm)
            ),
            "write the length of the screw, which is more than the travel by the nut at least; or check `travel`",
        ));
    }
    let backlash_mm = match table.optional("backlash") {
        Some(value) => value.within(&ranges::BACKLASH)?,
        None => 0.0,
    };
    let frame = Frame {
        steps_per_mm,
        travel_mm: [lower_mm, upper_mm],
        backlash_mm,
    };
    Ok(((frame, limits), drive))
}

/// Both limits, which must be there.
pub(super) fn both_limits(
    table: &Table<'_>,
    steps_per_mm: f64,
    controller: &Controller,
) -> Result<(f64, f64), InputError> {
    let speed = speed_limit(
        &required_limit(table, "speed_limit")?,
        steps_per_mm,
        controller,
    )?;
    let acceleration =
        required_limit(table, "acceleration_limit")?.within(&ranges::ACCELERATION_LIMIT)?;
    Ok((speed, acceleration))
}

/// A limit, which must be there; without it, how it is worked out where there are parts.
fn required_limit<'a>(table: &Table<'a>, key: &str) -> Result<Value<'a>, InputError> {
    let missing = || {
        if table.optional("drive").is_none() {
            return table.missing(key);
        }
        let parts = match (table.optional("load"), table.optional("motor")) {
            (Some(_), Some(_)) => "its drive, load and motor",
            _ => "its drive, and a load and a motor once they are in the file too",
        };
        table.error(
            format!("`{key}` is missing {}", table.place()),
            format!(
                "`spokeshave size FILE --out NEW` works it out from {parts}; or add a line `{key} = …` that you \
                 have tested"
            ),
        )
    };
    table.optional(key).ok_or_else(missing)
}

/// The limits that are there.
pub(super) fn any_limits(
    table: &Table<'_>,
    steps_per_mm: f64,
    controller: &Controller,
) -> Result<(Option<f64>, Option<f64>), InputError> {
    let speed = match table.optional("speed_limit") {
        Some(value) => Some(speed_limit(&value, steps_per_mm, controller)?),
        None => None,
    };
    let acceleration = match table.optional("acceleration_limit") {
        Some(value) => Some(value.within(&ranges::ACCELERATION_LIMIT)?),
        None => None,
    };
    Ok((speed, acceleration))
}

fn speed_limit(
    value: &Value<'_>,
    steps_per_mm: f64,
    controller: &Controller,
) -> Result<f64, InputError> {
    let speed = value.within(&ranges::SPEED_LIMIT)?;
    match step_rate_fault(speed, steps_per_mm, controller) {
        Some((cause, remedy)) => Err(value.error(cause, remedy)),
        None => Ok(speed),
    }
}

/// The axis with both limits.
pub(super) fn limited((frame, (speed, acceleration)): (Frame, (f64, f64))) -> Axis {
    Axis {
        steps_per_mm: frame.steps_per_mm,
        speed_limit_mm_s: speed,
        acceleration_limit_mm_s2: acceleration,
        travel_mm: frame.travel_mm,
        backlash_mm: frame.backlash_mm,
    }
}

/// The axis with the limits that are there.
pub(super) fn drafted(
    (frame, (speed, acceleration)): (Frame, (Option<f64>, Option<f64>)),
) -> DraftAxis {
    DraftAxis {
        steps_per_mm: frame.steps_per_mm,
        speed_limit_mm_s: speed,
        acceleration_limit_mm_s2: acceleration,
        travel_mm: frame.travel_mm,
        backlash_mm: frame.backlash_mm,
    }
}

/// Cause and remedy where the steps at a speed limit come faster than the controller makes them.
pub(crate) fn step_rate_fault(
    speed_limit_mm_s: f64,
    steps_per_mm: f64,
    controller: &Controller,
) -> Option<(String, String)> {
    let most = most_steps_per_s(controller);
    let rate = speed_limit_mm_s * steps_per_mm;
    // Equal up to the rounding of the conversion from mm/min and steps/in is equal.
    if rate <= most * (1.0 + 1e-12) {
        return None;
    }
    let cause = format!(
        "this speed takes {rate:.0} steps/s, but the controller makes at most {most:.0} on one axis"
    );
    let remedy = format!(
        "lower `speed_limit` to {:.3} mm/s or less, lower `resolution` (fewer microsteps), or \
         shorten `pulse_period` where the driver allows it (it counts in whole ticks of `timer`, \
         at least two)",
        // Rounded down, so that the advice can be followed to the letter.
        (most / steps_per_mm * 1e3).floor() / 1e3
    );
    Some((cause, remedy))
}
