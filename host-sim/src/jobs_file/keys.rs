//! The keys of a jobs file, table by table.

use crate::toml_file::Schema;

/// The format.
pub(super) const SCHEMA: Schema = Schema {
    what: "jobs file",
    keys: of_table,
    home,
    add,
};

/// At the top of the file.
const TOP: [&str; 5] = [
    "currency",
    "years_of_use",
    "value_of_time",
    "machine",
    "job",
];
/// In each `[machine.…]`.
const MACHINE: [&str; 3] = ["file", "price", "running_cost"];
/// In each `[job.…]`.
const JOB: [&str; 8] = [
    "program",
    "parts_a_year",
    "parts_per_set_up",
    "set_up",
    "by_hand",
    "left_by_hand",
    "consumables",
    "material",
];

/// The keys of the table at `path`; `None` where the user names them.
fn of_table(path: &str) -> Option<&'static [&'static str]> {
    match path.split_once('.') {
        None if path.is_empty() => Some(&TOP),
        None if path == "machine" || path == "job" => None,
        Some(("machine", _)) => Some(&MACHINE),
        Some(("job", _)) => Some(&JOB),
        // A table in place of a value: its type is what is wrong with it.
        _ => Some(&[]),
    }
}

/// Where a key belongs, for one that stands in the wrong table.
fn home(key: &str) -> Option<&'static str> {
    [
        (&TOP[..], "at the top of the file, above the first table"),
        (&MACHINE, "in a table [machine.NAME]"),
        (&JOB, "in a table [job.NAME]"),
    ]
    .into_iter()
    .find(|(keys, _)| keys.contains(&key))
    .map(|(_, home)| home)
}

/// What to do where `key` is missing at `place`.
fn add(key: &str, place: &str) -> String {
    match key {
        "machine" => "add a table [machine.NAME] for each machine, with `file` and `price`".into(),
        "job" => "add a table [job.NAME] for each job, with its `program`".into(),
        _ => format!("add a line `{key} = {}` {place}", example(key)),
    }
}

/// A value as it may stand behind `key`.
fn example(key: &str) -> &'static str {
    match key {
        "currency" => "\"euro\"",
        "years_of_use" => "\"5 years\"",
        "file" => "\"router.toml\"",
        "program" => "\"part.nc\"",
        "parts_a_year" => "40",
        "set_up" => "\"25 min\"",
        _ => "\"2 h\"",
    }
}
