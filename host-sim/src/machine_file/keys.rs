//! The keys of a machine file, table by table.

use crate::toml_file::Schema;

/// The format.
pub(super) const SCHEMA: Schema = Schema {
    what: "machine file",
    keys: |path| Some(of_table(path)),
    home,
    add,
};

/// At the top of the file.
pub(super) const TOP: [&str; 7] = [
    "name",
    "junction_deviation",
    "chord_tolerance",
    "look_ahead",
    "controller",
    "axis",
    "work_zero",
];
/// In `[controller]`.
pub(super) const CONTROLLER: [&str; 4] =
    ["timer", "pulse_width", "pulse_period", "direction_setup"];
/// In `[axis]`, and in each `[work_zero.…]`: the axes, in order.
pub(super) const AXES: [&str; 3] = ["x", "y", "z"];
/// In each `[axis.…]`.
pub(super) const AXIS: [&str; 5] = [
    "resolution",
    "speed_limit",
    "acceleration_limit",
    "travel",
    "backlash",
];
/// In `[work_zero]`: the work offsets, in order.
pub(super) const WORK_ZERO: [&str; 6] = ["g54", "g55", "g56", "g57", "g58", "g59"];

/// The keys of the table at `path`, as in `axis.x`; the empty path is the top of the file.
fn of_table(path: &str) -> &'static [&'static str] {
    match path.split_once('.') {
        None if path.is_empty() => &TOP,
        None if path == "controller" => &CONTROLLER,
        None if path == "axis" => &AXES,
        None if path == "work_zero" => &WORK_ZERO,
        Some(("axis", _)) => &AXIS,
        Some(("work_zero", _)) => &AXES,
        // A table in place of a value: its type is what is wrong with it.
        _ => &[],
    }
}

/// Where a key belongs, for one that stands in the wrong table.
fn home(key: &str) -> Option<&'static str> {
    // Lone letters belong to more than one table and are left out.
    [
        (&TOP[..], "at the top of the file, above the first table"),
        (&CONTROLLER, "in [controller]"),
        (&AXIS, "in each of [axis.x], [axis.y] and [axis.z]"),
        (&WORK_ZERO, "in [work_zero]"),
    ]
    .into_iter()
    .find(|(keys, _)| keys.contains(&key))
    .map(|(_, home)| home)
}

/// What to do where `key` is missing at `place`.
fn add(key: &str, place: &str) -> String {
    match key {
        "controller" => "add a table [controller]".into(),
        "axis" => "add the tables [axis.x], [axis.y] and [axis.z]".into(),
        "x" | "y" | "z" => format!("add a table [axis.{key}]: x, y and z are all needed"),
        _ => format!("add a line `{key} = {}` {place}", example(key)),
    }
}

/// A value as it may stand behind `key`.
fn example(key: &str) -> &'static str {
    match key {
        "name" => "\"my router\"",
        "look_ahead" => "32",
        "timer" => "\"1 MHz\"",
        "pulse_width" => "\"2 us\"",
        "pulse_period" | "direction_setup" => "\"5 us\"",
        "resolution" => "\"80 steps/mm\"",
        "speed_limit" => "\"8 m/min\"",
        "acceleration_limit" => "\"500 mm/s^2\"",
        "travel" => "[\"0 mm\", \"600 mm\"]",
        _ => "\"0.02 mm\"",
    }
}
