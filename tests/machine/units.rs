//! A machine given in inches is the same machine as in mm.

use super::GOOD;
use spokeshave_sim::machine_file;

#[test]
fn inches_and_millimetres_describe_one_machine() {
    let metric = GOOD
        .replace("\"160 steps/mm\"", "\"200 steps/mm\"")
        .replace("100 mm/s", "127 mm/s")
        .replace("\"0.02 mm\"", "\"0.0254 mm\"")
        .replace("[\"0 mm\", \"600 mm\"]", "[\"-25.4 mm\", \"609.6 mm\"]")
        .replace("500 mm/s^2", "508 mm/s^2");
    let inches = metric
        .replace("\"80 steps/mm\"", "\"2032 steps/in\"")
        .replace("\"200 steps/mm\"", "\"5080 steps/in\"")
        .replace("127 mm/s", "300 in/min")
        .replace("\"0.0254 mm\"", "\"0.001 in\"")
        .replace("[\"-25.4 mm\", \"609.6 mm\"]", "[\"-1 in\", \"24 in\"]")
        .replace("508 mm/s^2", "20 in/s^2");
    assert_ne!(metric, inches);
    let read = |text: &str| machine_file::read("machine.toml", text).unwrap();
    assert_eq!(read(&metric), read(&inches));
}

#[test]
fn an_optional_chord_tolerance_is_read() {
    let file = GOOD.replace("look_ahead", "chord_tolerance = \"5 um\"\nlook_ahead");
    assert_eq!(
        machine_file::read("machine.toml", &file)
            .unwrap()
            .chord_tolerance_mm,
        0.005
    );
    assert_eq!(
        machine_file::read("machine.toml", GOOD)
            .unwrap()
            .chord_tolerance_mm,
        0.002
    );
}

#[test]
fn work_zeros_are_read_and_default_to_zero() {
    let file = format!("{GOOD}\n[work_zero.g54]\nx = \"1 in\"\n[work_zero.g59]\nz = \"-5 mm\"\n");
    let zeros = machine_file::read("machine.toml", &file)
        .unwrap()
        .work_zero_mm;
    assert_eq!(zeros[0], [25.4, 0.0, 0.0]);
    assert_eq!(zeros[5], [0.0, 0.0, -5.0]);
    assert_eq!(zeros[1..5], [[0.0; 3]; 4]);
}

#[test]
fn the_fastest_rate_of_the_controller_is_accepted_to_the_step() {
    // 5 us are 200 000 steps/s: 400 steps/mm at 500 mm/s, and 30 m/min is the same.
    for speed in ["500 mm/s", "30 m/min"] {
        let file = GOOD.replace("40 in/min", speed);
        machine_file::read("machine.toml", &file).unwrap();
    }
}
