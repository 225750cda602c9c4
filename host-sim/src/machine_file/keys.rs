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
pub(super) const TOP: [&str; 8] = [
    "name",
    "junction_deviation",
    "chord_tolerance",
    "look_ahead",
    "stall_margin",
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
pub(super) const AXIS: [&str; 8] = [
    "resolution",
    "speed_limit",
    "acceleration_limit",
    "travel",
    "backlash",
    "drive",
    "load",
    "motor",
];
/// In each `[axis.….drive]`, of whatever kind.
pub(super) const DRIVE: [&str; 20] = [
    "kind",
    "size",
    "diameter",
    "pitch",
    "lead",
    "starts",
    "root_diameter",
    "thread_angle",
    "length",
    "ends",
    "efficiency",
    "friction",
    "collar_diameter",
    "collar_friction",
    "module",
    "teeth",
    "shaft_inertia",
    "ratio",
    "full_steps",
    "microsteps",
];
/// In each `[axis.….load]`.
pub(super) const LOAD: [&str; 7] = [
    "mass",
    "rides_on",
    "friction_force",
    "cutting_force",
    "cutting_speed",
    "slope",
    "balance_force",
];
/// In each `[axis.….motor]`.
pub(super) const MOTOR: [&str; 10] = [
    "count",
    "torque_curve",
    "holding_torque",
    "rated_current",
    "inductance",
    "resistance",
    "supply_voltage",
    "rotor_inertia",
    "start_stop_rate",
    "detent_torque",
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
        Some(("axis", within)) => match within.split_once('.') {
            None => &AXIS,
            Some((_, "drive")) => &DRIVE,
            Some((_, "load")) => &LOAD,
            Some((_, "motor")) => &MOTOR,
            Some(_) => &[],
        },
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
        (&DRIVE, "in a table [axis.x.drive], and so for y and z"),
        (&LOAD, "in a table [axis.x.load], and so for y and z"),
        (&MOTOR, "in a table [axis.x.motor], and so for y and z"),
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
        "resolution" => {
            let table = place.trim_start_matches("in [").trim_end_matches(']');
            format!(
                "add a line `{key} = {}` {place}, or a table [{table}.drive]",
                example(key)
            )
        }
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
        "kind" => "\"lead screw\"",
        "size" => "\"Tr 12x3\"",
        "diameter" => "\"12 mm\"",
        "lead" => "\"3 mm\"",
        "length" => "\"400 mm\"",
        "ends" => "\"fixed-supported\"",
        "thread_angle" => "\"30 degrees\"",
        "collar_diameter" => "\"16 mm\"",
        "collar_friction" => "0.1",
        "teeth" => "20",
        "full_steps" => "200",
        "microsteps" => "8",
        "mass" => "\"6 kg\"",
        "holding_torque" => "\"1.2 N m\"",
        "rated_current" => "\"2.5 A\"",
        "inductance" => "\"3 mH\"",
        "resistance" => "\"1 ohm\"",
        "supply_voltage" => "\"36 V\"",
        "rotor_inertia" => "\"300 g cm^2\"",
        _ => "\"0.02 mm\"",
    }
}
