//! Steps per mm of common drives, worked out from the standards of their screws, belts and racks,
//! and read back from a machine file. Motors of 200 full steps with 8 microsteps throughout.

use super::GOOD;
use spokeshave_sim::machine_file;
use std::f64::consts::PI;

const STEPS_PER_TURN: f64 = 200.0 * 8.0;
const MM_PER_INCH: f64 = 25.4;

/// Reads `written` as the resolution of x and compares it with the steps in one turn over the
/// travel in one turn.
fn resolution_is(written: &str, mm_per_turn: f64, tolerance: f64) {
    // Slow enough for the finest of them.
    let file = GOOD
        .replace("8 m/min", "10 mm/s")
        .replace("80 steps/mm", written);
    let machine = machine_file::read("machine.toml", &file).unwrap();
    let read = machine.axes[0].steps_per_mm;
    let expected = STEPS_PER_TURN / mm_per_turn;
    assert!(
        (read - expected).abs() <= tolerance,
        "{written} is {read}, the drive makes {expected}"
    );
}

/// Half a unit of the last of three decimals, as the values below are written.
const THREE_DECIMALS: f64 = 0.0005;
/// Two roundings of a double each way, at values below 1000.
const ROUNDING: f64 = 1e-12;

/// ASME B1.5: 1/2-10 Acme has ten threads to the inch; with a single start the lead is the pitch.
#[test]
fn acme_half_inch_ten() {
    let lead = MM_PER_INCH / 10.0;
    resolution_is("629.921 steps/mm", lead, THREE_DECIMALS);
    resolution_is("16000 steps/in", lead, ROUNDING);
}

/// ISO 5296: the pitch of an XL belt is 5.080 mm.
#[test]
fn belt_xl_twenty_teeth() {
    resolution_is("15.748 steps/mm", 20.0 * 5.080, THREE_DECIMALS);
    resolution_is("400 steps/in", 20.0 * 5.080, ROUNDING);
}

/// ISO 5296: the pitch of an L belt is 9.525 mm. A pulley of 16 teeth moves 6 in a turn.
#[test]
fn belt_l_sixteen_teeth() {
    resolution_is("10.499 steps/mm", 16.0 * 9.525, THREE_DECIMALS);
}

/// ISO 54, module 1: the pitch of a rack is π times its module.
#[test]
fn rack_module_one_twenty_teeth() {
    resolution_is("25.465 steps/mm", 20.0 * PI * 1.0, THREE_DECIMALS);
}
