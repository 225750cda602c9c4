//! Malformed machine files: types, units and ranges.

use super::GOOD;
use super::refused::{refused, refused_file};
use spokeshave_sim::machine_file;

#[test]
#[rustfmt::skip] // One case a line.
fn wrong_types() {
    refused("\"test machine\"", "7", "7", "`name` is a bare number, but must be text", "quotes");
    refused("\"test machine\"", "\"  \"", "\"  \"", "`name` is empty", "name");
    refused("\"test machine\"", "\"a\\nb\"", "\"a\\nb\"", "control character", "name");
    refused("\"1 MHz\"", "true", "true", "`controller.timer` is a truth value", "1 MHz");
    refused("\"2 us\"", "00:00:02", "00:00:02", "`controller.pulse_width` is a date", "2 us");
    refused("\"8 m/min\"", "[8]", "[8]", "`axis.x.speed_limit` is a list", "8 m/min");
    refused("= 32\n", "= 32.5\n", "32.5", "must be a whole number from 2 to 16384", "decimals");
    refused("= 32\n", "= \"32\"\n", "\"32\"", "`look_ahead` is text", "without quotes");
    refused("[\"0 mm\", \"600 mm\"]", "\"600 mm\"", "\"600 mm\"", "must be a list of two", "[");
    refused("[\"0 mm\", \"600 mm\"]", "[\"0 mm\"]", "[\"0 mm\"]", "a list of 1, not of two", "[");
    let file = GOOD.replace("[controller]\n", "[[controller]]\n");
    refused_file(&file, (5, 1), "`controller` is a list, but must be a table", "[controller]");
    let file = format!("axis = 3\n{}", &GOOD[..GOOD.find("[axis.x]").unwrap()]);
    refused_file(&file, (1, 8), "`axis` is a bare number, but must be a table", "[axis]");
}

#[test]
#[rustfmt::skip] // One case a line.
fn units_missing_unknown_or_of_another_kind() {
    refused("\"8 m/min\"", "8", "8\nacc", "`axis.x.speed_limit` has no unit", "8 m/min");
    refused("\"8 m/min\"", "8.5", "8.5", "`axis.x.speed_limit` has no unit", "quotes");
    refused("\"8 m/min\"", "nan", "nan", "`axis.x.speed_limit` has no unit", "quotes");
    // The column is that of the number inside the string.
    refused("\"8 m/min\"", "\" 8\"", "8\"\nacc", "`8` has no unit", "8 m/min");
    refused("\"8 m/min\"", "\"8 m/mim\"", "m/mim", "unknown unit", "`m/min`");
    refused("\"500 mm/s^2\"", "\"500 mm/s\"", "mm/s\"\ntr", "is a speed", "mm/s^2");
    refused("\"1 MHz\"", "\"1 us\"", "us\"\npulse_w", "is a time, but a frequency", "kHz");
    refused("\"600 mm\"", "\"600 steps\"", "steps\"]", "unknown unit", "the units are");
    refused("\"600 mm\"", "600", "600]", "`axis.x.travel` has no unit", "0.02 mm");
    refused("\"600 mm\"", "\"1,200 mm\"", "1,200", "`1,200` is not a number", "thousands");
    refused("\"0.02 mm\"", "\"nan mm\"", "nan", "not a finite number", "0.02 mm");
    refused("\"0.02 mm\"", "\"inf mm\"", "inf", "not a finite number", "0.02 mm");
    refused("\"0.02 mm\"", "'''0.02 mn'''", "mn'''", "unknown unit `mn`", "did you mean");
    // Written with an escape, the whole string is the place.
    refused("\"0.02 mm\"", "\"0.02\\u0020mn\"", "\"0.02\\u", "unknown unit `mn`", "did you mean");
}

#[test]
#[rustfmt::skip] // One case a line.
fn zero_and_negative() {
    for zero in ["0", "-0.0", "-5"] {
        let written = format!("\"{zero} mm/s^2\"");
        let cause = "`axis.x.acceleration_limit` must be more than 0";
        refused(
            "\"500 mm/s^2\"",
            &written,
            &written,
            cause,
            "1 to 50 000 mm/s^2",
        );
    }
    refused("\"8 m/min\"", "\"-8 m/min\"", "\"-8", "must be more than 0", "2 000 mm/s");
    refused("\"0.02 mm\"", "\"0 mm\"", "\"0 mm\"\nlook", "must be more than 0", "0.0005 mm");
    refused("\"2 us\"", "\"0 us\"", "\"0 us\"", "must be more than 0", "50 ns");
    refused("= 32\n", "= 0\n", "0\n\n[con", "`look_ahead` is 0", "2 to 16384");
    refused("= 32\n", "= -32\n", "-32", "`look_ahead` is -32", "2 to 16384");
    // A driver may need no set-up, but none needs less than none.
    machine_file::read("m", &GOOD.replace("setup = \"5 us\"", "setup = \"0 us\"")).unwrap();
    refused("setup = \"5 us\"", "setup = \"-1 us\"", "\"-1 us\"", "below its range", "1 ms");
}

#[test]
#[rustfmt::skip] // One case a line.
fn outside_the_range() {
    refused("\"80 steps/mm\"", "\"0.09 steps/mm\"", "\"0.09", "below", "0.1 to 20 000");
    refused("\"80 steps/mm\"", "\"20001 steps/mm\"", "\"20001", "above", "0.1 to 20 000");
    refused("\"8 m/min\"", "\"0.009 mm/s\"", "\"0.009", "below", "0.01 to 2 000");
    refused("\"8 m/min\"", "\"2.001 m/s\"", "\"2.001", "above", "0.01 to 2 000");
    refused("\"500 mm/s^2\"", "\"0.9 mm/s^2\"", "\"0.9", "below", "1 to 50 000");
    refused("\"500 mm/s^2\"", "\"51 m/s^2\"", "\"51", "above", "1 to 50 000");
    refused("\"0.02 mm\"", "\"0.4 um\"", "\"0.4 um", "below", "0.0005 mm to 1 mm");
    refused("\"0.02 mm\"", "\"1.1 mm\"", "\"1.1 mm", "above", "0.0005 mm to 1 mm");
    refused("\"1 MHz\"", "\"9.999 kHz\"", "\"9.999", "below", "10 kHz to 200 MHz");
    refused("\"1 MHz\"", "\"201 MHz\"", "\"201", "above", "10 kHz to 200 MHz");
    refused("\"2 us\"", "\"49 ns\"", "\"49 ns", "below", "50 ns to 1 ms");
    refused("period = \"5 us\"", "period = \"11 ms\"", "\"11 ms", "above", "10 ms");
    refused("setup = \"5 us\"", "setup = \"1.1 ms\"", "\"1.1 ms", "above", "1 ms");
    refused("\"600 mm\"", "\"10.1 m\"", "\"10.1 m", "above", "-10 m to 10 m");
    refused("[\"0 mm\"", "[\"-10.1 m\"", "\"-10.1 m", "below", "-10 m to 10 m");
    refused("= 32\n", "= 1\n", "1\n\n[con", "`look_ahead` is 1", "2 to 16384");
    refused("= 32\n", "= 16385\n", "16385", "`look_ahead` is 16385", "2 to 16384");
    refused("= 32\n", "= 99999999999999999999\n", "9999", "`look_ahead` is 9999", "2 to 16384");
    let file = GOOD.replace("look_ahead", "chord_tolerance = \"2 mm\"\nlook_ahead");
    refused_file(&file, (3, 19), "`chord_tolerance` is above", "0.0001 mm to 1 mm");
}

#[test]
fn the_ends_of_the_ranges_are_inside() {
    for (old, new) in [
        ("= 32\n", "= 2\n"),
        ("= 32\n", "= 16384\n"),
        ("= 32\n", "= 0x20\n"),
        ("\"80 steps/mm\"", "\"0.1 steps/mm\""),
        ("\"8 m/min\"", "\"2 m/s\""),
        ("\"500 mm/s^2\"", "\"50 m/s^2\""),
        ("\"0.02 mm\"", "\"0.5 um\""),
        ("\"1 MHz\"", "\"200 MHz\""),
        ("\"600 mm\"", "\"10 m\""),
    ] {
        assert!(GOOD.contains(old));
        machine_file::read("m", &GOOD.replace(old, new)).unwrap_or_else(|e| panic!("{new}: {e:?}"));
    }
}
