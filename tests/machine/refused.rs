//! Malformed machine files: syntax, keys, tables and types. Each case changes one thing in a good
//! file, and the error must stand at that place.

use super::GOOD;
use spokeshave_sim::machine_file;
use spokeshave_tests::refusal::{place_of, says};

/// Replaces `old` by `new` in the good file (once) and expects the error at `at`, which is found
/// in the changed file.
#[track_caller]
pub fn refused(old: &str, new: &str, at: &str, cause: &str, remedy: &str) {
    assert_eq!(GOOD.matches(old).count(), 1, "`{old}` must be there once");
    let file = GOOD.replace(old, new);
    refused_file(&file, place_of(&file, at), cause, remedy);
}

/// Expects that `file` is refused at line and column `place`.
#[track_caller]
pub fn refused_file(file: &str, place: (u32, usize), cause: &str, remedy: &str) {
    let error = machine_file::read("machine.toml", file).expect_err("must be refused");
    says(&error, "machine.toml", place, cause, remedy);
}

#[test]
fn the_good_file_is_read() {
    machine_file::read("machine.toml", GOOD).unwrap();
    // And so it is with the line ends of the other world, and in tables written inline.
    machine_file::read("machine.toml", &GOOD.replace('\n', "\r\n")).unwrap();
    let inline = GOOD
        .replace("[controller]\n", "controller = { ")
        .replace("\"1 MHz\"\n", "\"1 MHz\", ")
        .replace("\"2 us\"\n", "\"2 us\", ")
        .replace("pulse_period = \"5 us\"\n", "pulse_period = \"5 us\", ")
        .replace(
            "direction_setup = \"5 us\"\n",
            "direction_setup = \"5 us\" }\n",
        );
    machine_file::read("machine.toml", &inline).unwrap();
}

#[test]
#[rustfmt::skip] // One case a line.
fn syntax() {
    refused("look_ahead = 32", "look_ahead 32", "32\n\n[con", "expected `=`", "key = value");
    refused("\"2 us\"", "2 us", "2 us", "string values must be quoted", "double quotes");
    // The place is where the missing quote, bracket or comma should be.
    refused("\"2 us\"", "\"2 us", "\npulse_period", "invalid basic string", "double quotes");
    refused("[controller]", "[controller", "\ntimer", "unclosed table", "[table]");
    refused("\"600 mm\"]", "\"600 mm\"", "[axis.y]", "missing comma", "key = value");
    refused("\"1 MHz\"", "", "\npulse_width", "string values must be quoted", "double quotes");
    refused("\"1 MHz\"", "\"1\\q MHz\"", "q MHz", "missing escaped value", "double quotes");
    refused("name =", "=", "= \"test", "keys cannot be empty", "key = value");
    refused("= 32\n", "= 032\n", "032", "leading zero", "key = value");
    let file = format!("axis = 3\n{GOOD}");
    refused_file(&file, place_of(&file, "axis.x"), "cannot extend value", "key = value");
}

#[test]
fn an_empty_file() {
    refused_file(
        "",
        (1, 1),
        "`name` is missing at the top of the file",
        "name = ",
    );
    refused_file("# nothing\n", (1, 1), "`name` is missing", "name = ");
}

#[test]
fn duplicates() {
    let file = GOOD.replace("look_ahead = 32", "look_ahead = 32\nlook_ahead = 64");
    refused_file(&file, (4, 1), "`look_ahead` is there twice", "keep one");
    let file = format!("{GOOD}[axis.x]\n");
    refused_file(&file, (28, 7), "`x` is there twice", "keep one");
    let file = format!("{GOOD}travel = [\"0 mm\", \"1 mm\"]\n");
    refused_file(&file, (28, 1), "`travel` is there twice", "keep one");
}

#[test]
#[rustfmt::skip] // One case a line.
fn unknown_keys() {
    refused("name =", "nmae =", "nmae", "unknown key `nmae` at the top", "did you mean `name`");
    refused("timer =", "clock =", "clock", "unknown key `clock` in [controller]", "timer,");
    refused(
        "pulse_width =",
        "pulse_wdith =",
        "pulse_wdith",
        "unknown key `pulse_wdith` in [controller]",
        "did you mean `pulse_width`",
    );
    refused(
        "speed_limit = \"8 m/min\"",
        "speed = \"8 m/min\"",
        "speed = ",
        "unknown key `speed` in [axis.x]",
        "did you mean `speed_limit`",
    );
    refused("[axis.x]", "[axis.X]", "X]", "unknown key `X` in [axis]", "did you mean `x`");
    refused("[controller]", "[control]", "control]", "unknown key `control`", "`controller`");
}

#[test]
fn a_key_in_the_wrong_table_is_told_where_it_belongs() {
    // Easily done: what follows a header belongs to its table.
    refused(
        "look_ahead = 32\n\n[controller]\n",
        "[controller]\nlook_ahead = 32\n",
        "look_ahead",
        "unknown key `look_ahead` in [controller]",
        "belongs at the top of the file",
    );
    refused(
        "timer = \"1 MHz\"\n",
        "timer = \"1 MHz\"\ntravel = 5\n",
        "travel = 5",
        "unknown key `travel` in [controller]",
        "belongs in each of [axis.x]",
    );
}

#[test]
fn a_fourth_axis() {
    let file = format!("{GOOD}\n[axis.a]\nresolution = \"1 steps/mm\"\n");
    refused_file(&file, (29, 7), "unknown key `a` in [axis]", "x, y, z");
}

#[test]
fn unknown_work_offset() {
    let file = format!("{GOOD}\n[work_zero.g53]\nx = \"1 mm\"\n");
    refused_file(
        &file,
        (29, 12),
        "unknown key `g53` in [work_zero]",
        "did you mean `g5",
    );
}

#[test]
#[rustfmt::skip] // One case a line.
fn missing_keys_point_at_the_header_of_their_table() {
    refused("name = \"test machine\"\n", "", "junction", "`name` is missing", "name = ");
    refused("look_ahead = 32\n", "", "name", "`look_ahead` is missing", "look_ahead = 32");
    refused(
        "pulse_period = \"5 us\"\n",
        "",
        "[controller]",
        "`pulse_period` is missing in [controller]",
        "pulse_period = \"5 us\"",
    );
    refused(
        "resolution = \"160 steps/mm\"\n",
        "",
        "[axis.y]",
        "`resolution` is missing in [axis.y]",
        "resolution = \"80 steps/mm\"",
    );
    refused("travel = [\"-60 mm\", \"80 mm\"]\n", "", "[axis.z]", "`travel` is missing in [axis.z]", "travel = [");
}

#[test]
fn missing_tables() {
    let at = GOOD.find("[controller]").unwrap();
    let end = GOOD.find("[axis.x]").unwrap();
    let file = format!("{}{}", &GOOD[..at], &GOOD[end..]);
    refused_file(&file, (1, 1), "`controller` is missing", "[controller]");
    refused_file(&GOOD[..end], (1, 1), "`axis` is missing", "[axis.x]");
    let at = GOOD.find("[axis.z]").unwrap();
    refused_file(
        &GOOD[..at],
        (11, 2),
        "`z` is missing in [axis]",
        "add a table [axis.z]",
    );
}
