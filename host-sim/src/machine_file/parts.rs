//! Drives, loads and motors of the axes, put together.

use super::drive as drive_table;
use super::keys;
use super::load;
use super::motor;
use super::ranges;
use crate::drive::Drive;
use crate::input_error::InputError;
use crate::motion::AXES;
use crate::parts::Parts;
use crate::toml_file::Table;

/// Steps per mm of an axis, as given or as its drive makes them, and that drive.
pub(super) fn resolution(table: &Table<'_>) -> Result<(f64, Option<Drive>), InputError> {
    let given = table.optional("drive");
    match (table.optional("resolution"), given) {
        (Some(value), None) => Ok((value.within(&ranges::RESOLUTION)?, None)),
        (None, Some(value)) => {
            let drive = drive_table::read(&value.table()?)?;
            Ok((drive.steps_per_mm(), Some(drive)))
        }
        (Some(value), Some(_)) => Err(value.error(
            format!("`resolution` is there, and so is a drive {}", table.place()),
            "keep one of the two: the resolution follows from the drive",
        )),
        (None, None) => Err(table.missing("resolution")),
    }
}

/// Reads loads and motors of the axes in `tables`, whose drives are read.
pub(super) fn read(
    tables: &[Table<'_>; AXES],
    drives: [Option<Drive>; AXES],
) -> Result<[Option<Parts>; AXES], InputError> {
    let mut load_tables = [None, None, None];
    let mut loads = [None; AXES];
    let mut motors = [None, None, None];
    for (axis, table) in tables.iter().enumerate() {
        let name = keys::AXES[axis];
        if let Some(value) = table.optional("load") {
            if drives[axis].is_none() {
                return Err(value.error(
                    format!("there is a load, but no drive {}", table.place()),
                    format!("add a table [axis.{name}.drive] in place of `resolution`"),
                ));
            }
            let load = value.table()?;
            loads[axis] = Some(load::read(&load, axis)?);
            load_tables[axis] = Some(load);
        }
        if let Some(value) = table.optional("motor") {
            let (Some(drive), Some(_)) = (&drives[axis], &loads[axis]) else {
                let missing = if drives[axis].is_none() {
                    "drive"
                } else {
                    "load"
                };
                return Err(value.error(
                    format!("there is a motor, but no {missing} {}", table.place()),
                    format!(
                        "add a table [axis.{name}.{missing}]: what a motor can do depends on what \
                         it moves and through what"
                    ),
                ));
            };
            motors[axis] = Some(motor::read(&value.table()?, drive.full_steps)?);
        }
    }
    load::ride(&load_tables, &mut loads)?;
    let mut parts = [None, None, None];
    for (axis, drive) in drives.into_iter().enumerate() {
        parts[axis] = drive.map(|drive| Parts {
            drive,
            load: loads[axis],
            motor: motors[axis].take(),
        });
    }
    Ok(parts)
}
