//! Any bytes as a machine file: what is accepted lies in its ranges, can be planned for, and can be
//! sized.

#![no_main]

use libfuzzer_sys::fuzz_target;
use spokeshave_fuzz::refused;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::machine_file;
use spokeshave_sim::motion::Item;
use spokeshave_sim::run::{self, Nobody};
use spokeshave_sim::size::Sizing;

fuzz_target!(|text: &[u8]| {
    match machine_file::read_bytes("fuzz.toml", text) {
        Err(error) => refused::says_what_and_where(&error, text),
        Ok(machine) => {
            lies_in_its_ranges(&machine);
            can_be_planned_for(machine);
        }
    }
    if let Ok(draft) = std::str::from_utf8(text).map(|text| machine_file::read_draft("fuzz.toml", text))
        && let Ok(draft) = draft
    {
        for anew in [false, true] {
            can_be_sized(&Sizing::new(&draft, 2.0, None, anew));
        }
    }
});

/// Torques are numbers, and limits that pass are within them.
fn can_be_sized(sizing: &Sizing) {
    for axis in &sizing.axes {
        for point in &axis.curve {
            for torque in [point.available_nm, point.steady_nm, point.needed_nm] {
                assert!(torque.is_finite() && torque >= 0.0, "{axis:?}");
            }
        }
        if let (Some(demand), true) = (axis.demand, axis.faults.is_empty()) {
            let least = sizing.safety * demand.needed_nm * (1.0 - 1e-9);
            assert!(demand.available_nm >= least, "{axis:?}");
        }
    }
}

/// The ranges that `spokeshave_sim::machine` documents.
fn lies_in_its_ranges(machine: &Machine) {
    let within = |value: f64, least: f64, most: f64| {
        assert!((least..=most).contains(&value), "{value}: {machine:?}");
    };
    assert!(!machine.name.contains(char::is_control), "{machine:?}");
    within(machine.junction_deviation_mm, 0.0005, 1.0);
    within(machine.chord_tolerance_mm, 0.0001, 1.0);
    assert!((2..=16_384).contains(&machine.look_ahead), "{machine:?}");
    let controller = &machine.controller;
    within(controller.timer_hz.into(), 1e4, 2e8);
    within(controller.pulse_width_s, 50e-9, 1e-3);
    within(controller.pulse_period_s, 100e-9, 10e-3);
    within(controller.direction_setup_s, 0.0, 1e-3);
    assert!(controller.pulse_width_s < controller.pulse_period_s);
    for axis in &machine.axes {
        within(axis.steps_per_mm, 0.1, 20_000.0);
        within(axis.speed_limit_mm_s, 0.01, 2_000.0);
        within(axis.acceleration_limit_mm_s2, 1.0, 50_000.0);
        within(axis.backlash_mm, 0.0, 5.0);
        let [lower, upper] = axis.travel_mm;
        within(lower, -1e4, 1e4);
        within(upper, lower, 1e4);
        assert!(lower < upper);
        let between = 1.0 / (axis.steps_per_mm * axis.speed_limit_mm_s);
        let least = controller
            .pulse_period_s
            .max(2.0 / f64::from(controller.timer_hz));
        // But for the rounding of a product.
        assert!(between >= least * (1.0 - 1e-9), "{machine:?}");
    }
    for (axis, at) in machine.axes.iter().zip(machine.work_zero_mm[0]) {
        let [lower, upper] = axis.travel_mm;
        within(at, lower, upper);
    }
    for at in machine.work_zero_mm.iter().flatten() {
        within(*at, -1e4, 1e4);
    }
}

/// The planner takes the machine: no second refusal, without a place in the file, after the first.
fn can_be_planned_for(mut machine: Machine) {
    // The longest queues take megabytes, and nothing else depends on their length.
    machine.look_ahead = machine.look_ahead.min(64);
    let nothing = std::iter::empty::<Result<Item, _>>();
    let start = machine.work_zero_mm[0];
    if let Err(error) = run::plan(&machine, start, nothing, &mut Nobody) {
        panic!("{error}: {machine:?}");
    }
}
