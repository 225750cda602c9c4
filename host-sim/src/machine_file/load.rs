//! The optional tables `[axis.x.load]`, and so for y and z.

use super::keys;
use super::ranges;
use crate::input_error::InputError;
use crate::load::Load;
use crate::motion::AXES;
use crate::toml_file::{Table, Value};

/// Reads the table of `axis`, with the mass of its own parts alone: see [`ride`].
pub(super) fn read(table: &Table<'_>, axis: usize) -> Result<Load, InputError> {
    let force = |key| {
        table
            .optional(key)
            .map_or(Ok(0.0), |value: Value<'_>| value.within(&ranges::FORCE))
    };
    let own_mass_kg = table.required("mass")?.within(&ranges::MASS)?;
    // Where no file says otherwise, z stands upright.
    let usual_slope = if axis == AXES - 1 { 90.0 } else { 0.0 };
    Ok(Load {
        own_mass_kg,
        moving_mass_kg: own_mass_kg,
        friction_n: force("friction_force")?,
        cutting_force_n: force("cutting_force")?,
        cutting_speed_mm_s: match table.optional("cutting_speed") {
            Some(value) => Some(value.within(&ranges::SPEED_LIMIT)?),
            None => None,
        },
        slope_deg: match table.optional("slope") {
            Some(value) => value.within(&ranges::SLOPE)?,
            None => usual_slope,
        },
        balance_force_n: force("balance_force")?,
    })
}

/// Adds to each load the masses of the axes that ride on it, and of those that ride on these.
pub(super) fn ride(
    tables: &[Option<Table<'_>>; AXES],
    loads: &mut [Option<Load>; AXES],
) -> Result<(), InputError> {
    let words: Vec<(&str, usize)> = keys::AXES.into_iter().zip(0..).collect();
    let mut below = [None; AXES];
    for (axis, table) in tables.iter().enumerate() {
        let Some(value) = table.as_ref().and_then(|table| table.optional("rides_on")) else {
            continue;
        };
        let on = value.choice(&words)?;
        let (name, other) = (keys::AXES[axis], keys::AXES[on]);
        if loads[on].is_none() {
            return Err(value.error(
                format!("{name} rides on {other}, but there is no table [axis.{other}.load]"),
                format!("add it, with the mass of the parts of {other} alone"),
            ));
        }
        below[axis] = Some(on);
        // Those that were read before make no circle, so this walk ends where it began or at the frame.
        let mut next = below[axis];
        while let Some(at) = next {
            if at == axis {
                return Err(value.error(
                    format!("{name} rides on {other}, which rides on {name} in the end"),
                    "an axis that rides on another names the one below it; the lowest names none",
                ));
            }
            next = below[at];
        }
    }
    for (axis, start) in below.into_iter().enumerate() {
        let own = loads[axis].map_or(0.0, |load| load.own_mass_kg);
        let mut next = start;
        while let Some(at) = next {
            if let Some(load) = &mut loads[at] {
                load.moving_mass_kg += own;
            }
            next = below[at];
        }
    }
    Ok(())
}
