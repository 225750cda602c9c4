//! The optional tables `[work_zero.g54]` to `[work_zero.g59]`.

use super::keys;
use super::ranges;
use crate::input_error::InputError;
use crate::motion::{AXES, Point};
use crate::toml_file::Table;

/// Reads the work zeros. What is not given is 0. Every zero that is given, and that of G54 in any
/// case, because jobs start there, must lie inside travel; of the others, those that no line of
/// the file mentions may lie anywhere until a program goes there.
pub(super) fn read(
    top: &Table<'_>,
    travel_mm: &[[f64; 2]; AXES],
) -> Result<[Point; 6], InputError> {
    let given = match top.optional("work_zero") {
        Some(value) => Some(value.table()?),
        None => None,
    };
    let mut zeros = [Point::default(); 6];
    for (zero, name) in zeros.iter_mut().zip(keys::WORK_ZERO) {
        match given.as_ref().and_then(|given| given.optional(name)) {
            Some(value) => *zero = read_one(&value.table()?, travel_mm)?,
            None if name == keys::WORK_ZERO[0] => {
                for axis in 0..AXES {
                    inside(0.0, axis, travel_mm).map_err(|(cause, _)| {
                        let remedy = format!(
                            "add a table [work_zero.{name}] that says where the program's zero lies"
                        );
                        let cause = format!("no [work_zero.{name}] is given, and {cause}");
                        top.error(cause, remedy)
                    })?;
                }
            }
            None => {}
        }
    }
    Ok(zeros)
}

fn read_one(table: &Table<'_>, travel_mm: &[[f64; 2]; AXES]) -> Result<Point, InputError> {
    let mut zero = Point::default();
    for (axis, name) in keys::AXES.into_iter().enumerate() {
        let value = table.optional(name);
        if let Some(value) = &value {
            zero[axis] = value.within(&ranges::POSITION)?;
        }
        inside(zero[axis], axis, travel_mm).map_err(|(cause, remedy)| match &value {
            Some(value) => value.error(cause, remedy),
            None => table.error(format!("`{name}` is not given, and {cause}"), remedy),
        })?;
    }
    Ok(zero)
}

/// Cause and remedy where `at`, mm, does not lie inside the travel of the axis.
fn inside(at: f64, axis: usize, travel_mm: &[[f64; 2]; AXES]) -> Result<(), (String, String)> {
    let [lower, upper] = travel_mm[axis];
    if (lower..=upper).contains(&at) {
        return Ok(());
    }
    let name = keys::AXES[axis];
    Err((
        format!("{name} = {at} mm lies outside the travel of {name}, {lower} mm to {upper} mm"),
        "a work zero is a place in machine coordinates that the tool can reach".into(),
    ))
}
