//! The tables `[axis.x]`, `[axis.y]` and `[axis.z]`.

use super::controller::most_steps_per_s;
use super::keys;
use super::ranges;
use crate::input_error::InputError;
use crate::machine::{Axis, Controller};
use crate::motion::AXES;
use crate::toml_file::Table;

/// Reads the axes in their order.
pub(super) fn read_all(
    table: &Table<'_>,
    controller: &Controller,
) -> Result<[Axis; AXES], InputError> {
    let [x, y, z] = keys::AXES;
    Ok([
        read(&table.required(x)?.table()?, controller)?,
        read(&table.required(y)?.table()?, controller)?,
        read(&table.required(z)?.table()?, controller)?,
    ])
}

fn read(table: &Table<'_>, controller: &Controller) -> Result<Axis, InputError> {
    let steps_per_mm = table.required("resolution")?.within(&ranges::RESOLUTION)?;
    let speed = table.required("speed_limit")?;
    let speed_limit_mm_s = speed.within(&ranges::SPEED_LIMIT)?;
    if let Some((cause, remedy)) = step_rate_fault(speed_limit_mm_s, steps_per_mm, controller) {
        return Err(speed.error(cause, remedy));
    }
    let acceleration_limit_mm_s2 = table
        .required("acceleration_limit")?
        .within(&ranges::ACCELERATION_LIMIT)?;
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
    let backlash_mm = match table.optional("backlash") {
        Some(value) => value.within(&ranges::BACKLASH)?,
        None => 0.0,
    };
    Ok(Axis {
        steps_per_mm,
        speed_limit_mm_s,
        acceleration_limit_mm_s2,
        travel_mm: [lower_mm, upper_mm],
        backlash_mm,
    })
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
