//! Machine files with one drive, load and motor put in.

use spokeshave_sim::drive::Drive;
use spokeshave_sim::machine_file::{self, WithParts};

/// A good machine file whose x has a bare resolution.
pub const GOOD: &str = include_str!("../machine/good.toml");

/// The good file, with `tables` of parts for x in place of its resolution. Quick drives must not
/// exceed the step rate, so its limits are low; screws are longer than its travel.
pub fn file_with(tables: &str) -> String {
    let bare = GOOD
        .replace("resolution = \"80 steps/mm\"\n", "")
        .replace("8 m/min", "2 mm/s")
        .replace("\"600 mm\"", "\"250 mm\"");
    format!("{bare}\n{tables}")
}

/// The same, read.
#[track_caller]
pub fn read(tables: &str) -> WithParts {
    let file = file_with(tables);
    machine_file::read_with_parts("parts.toml", &file).unwrap_or_else(|error| {
        let (line, column) = (error.line(), error.column());
        panic!(
            "{line}:{column}: {} — {}\n{file}",
            error.cause(),
            error.remedy()
        )
    })
}

/// The drive of x whose table has these lines, with a motor of 200 full steps and 8 microsteps.
#[track_caller]
pub fn drive(lines: &str) -> Drive {
    let tables = format!("[axis.x.drive]\nfull_steps = 200\nmicrosteps = 8\n{lines}\n");
    read(&tables).parts[0].clone().unwrap().drive
}

/// Asserts that two numbers differ by at most `part` of the second.
#[track_caller]
pub fn close(found: f64, expected: f64, part: f64) {
    let off = (found - expected).abs();
    assert!(off <= part * expected.abs(), "{found}, expected {expected}");
}
