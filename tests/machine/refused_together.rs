//! Malformed machine files: values that do not go together, and files that are no text.

use super::GOOD;
use super::refused::{refused, refused_file};
use spokeshave_sim::machine_file;

#[test]
fn the_timer_is_not_rounded() {
    refused(
        "\"1 MHz\"",
        "\"72.0000005 MHz\"",
        "\"72.0",
        "72000000.5 Hz, which is not a whole number",
        "clock and the divider",
    );
    refused(
        "\"1 MHz\"",
        "\"33333.3 Hz\"",
        "\"33333.3",
        "not a whole number",
        "divider",
    );
}

#[test]
fn travel_upside_down() {
    refused(
        "[\"0 mm\", \"600 mm\"]",
        "[\"600 mm\", \"0 mm\"]",
        "\"0 mm\"]",
        "the upper end of travel, 0 mm, is not above the lower, 600 mm",
        "lower end first",
    );
    refused(
        "[\"0 mm\"",
        "[\"600 mm\"",
        "\"600 mm\"]",
        "is not above",
        "lower end first",
    );
}

#[test]
fn pulses_that_never_fall() {
    let cause = "not longer than the pulse width";
    refused(
        "period = \"5 us\"",
        "period = \"2 us\"",
        "\"2 us\"\ndir",
        cause,
        "high and the low",
    );
    refused(
        "period = \"5 us\"",
        "period = \"1 us\"",
        "\"1 us\"",
        cause,
        "high and the low",
    );
}

#[test]
fn more_steps_than_the_controller_makes() {
    // 5 us at 1 MHz: 200 000 steps/s. 400 steps/mm at 501 mm/s are 200 400.
    refused(
        "\"40 in/min\"",
        "\"501 mm/s\"",
        "\"501 mm/s\"",
        "takes 200400 steps/s, but the controller makes at most 200000",
        "lower `speed_limit` to 500.000 mm/s or less",
    );
    // At 100 kHz a period of 25 us is three ticks: 33 333 steps/s, although 1/25 us is 40 000.
    // x takes 80 · 133.3 = 10 667, y 160 · 100 = 16 000, z 400 · 84 = 33 600.
    let slow = GOOD
        .replace("\"1 MHz\"", "\"100 kHz\"")
        .replace("period = \"5 us\"", "period = \"25 us\"")
        .replace("40 in/min", "84 mm/s");
    refused_file(&slow, (25, 15), "at most 33333", "83.333 mm/s");
    // The period is far shorter than a tick: two ticks of 10 kHz hold, 5 000 steps/s.
    let slow = GOOD.replace("\"1 MHz\"", "\"10 kHz\"");
    refused_file(
        &slow,
        (13, 15),
        "takes 10667 steps/s",
        "62.500 mm/s or less",
    );
}

#[test]
fn work_zeros_outside_travel() {
    let file = format!("{GOOD}\n[work_zero.g55]\nx = \"601 mm\"\n");
    let cause = "x = 601 mm lies outside the travel of x, 0 mm to 600 mm";
    refused_file(&file, (30, 5), cause, "machine coordinates");
    // Where the default of an axis is outside, the table is the place.
    let file = GOOD.replace("[\"0 mm\", \"600 mm\"]", "[\"10 mm\", \"600 mm\"]");
    refused_file(
        &file,
        (1, 1),
        "no [work_zero.g54] is given, and x = 0",
        "[work_zero.g54]",
    );
    let with = format!("{file}\n[work_zero.g54]\ny = \"5 mm\"\n");
    refused_file(
        &with,
        (29, 1),
        "`x` is not given, and x = 0 mm lies outside",
        "reach",
    );
    let with = format!("{file}\n[work_zero.g54]\nx = \"10 mm\"\n");
    assert_eq!(
        machine_file::read("m", &with).unwrap().work_zero_mm[0],
        [10.0, 0.0, 0.0]
    );
    let with = format!("{GOOD}\n[work_zero.g54]\nx = 10\n");
    refused_file(&with, (30, 5), "`work_zero.g54.x` has no unit", "quotes");
}

#[test]
fn a_file_that_cannot_be_read_or_is_not_text() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("none.toml");
    let error = machine_file::open(&missing).unwrap_err();
    assert!(error.cause().contains("cannot be read"), "{error:?}");
    assert!(error.file().ends_with("none.toml"));

    let latin = folder.path().join("latin.toml");
    std::fs::write(&latin, b"# shop\nname = \"M\xfcller\"\n").unwrap();
    let error = machine_file::open(&latin).unwrap_err();
    assert_eq!((error.line(), error.column()), (2, 10));
    assert!(error.cause().contains("not UTF-8"), "{error:?}");

    let long = folder.path().join("long.toml");
    std::fs::write(&long, "#\n".repeat(600_000)).unwrap();
    let error = machine_file::open(&long).unwrap_err();
    assert!(error.cause().contains("longer than 1 MiB"), "{error:?}");
}
