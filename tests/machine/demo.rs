//! The demo machines, field by field, against the values that their comments promise.

use spokeshave_sim::machine::{Axis, Controller, Machine};
use spokeshave_sim::machine_file;
use std::path::PathBuf;

fn demo(file: &str) -> Machine {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("../docs/demo")
        .join(file);
    machine_file::open(&path).unwrap_or_else(|error| panic!("{error:?}"))
}

fn axis(steps_per_mm: f64, speed: f64, acceleration: f64, travel_mm: [f64; 2]) -> Axis {
    Axis {
        steps_per_mm,
        speed_limit_mm_s: speed,
        acceleration_limit_mm_s2: acceleration,
        travel_mm,
    }
}

#[test]
fn belt_router() {
    let expected = Machine {
        name: "belt bench router".into(),
        junction_deviation_mm: 0.02,
        chord_tolerance_mm: 0.002,
        look_ahead: 32,
        controller: Controller {
            timer_hz: 1_000_000,
            pulse_width_s: 2e-6,
            pulse_period_s: 5e-6,
            direction_setup_s: 5e-6,
        },
        axes: [
            axis(80.0, 8000.0 / 60.0, 800.0, [-15.0, 420.0]),
            axis(80.0, 8000.0 / 60.0, 500.0, [-15.0, 330.0]),
            axis(400.0, 20.0, 150.0, [-60.0, 80.0]),
        ],
        work_zero_mm: [[0.0; 3]; 6],
    };
    assert_eq!(demo("belt-router.toml"), expected);
}

#[test]
fn screw_router() {
    let mut work_zero_mm = [[0.0; 3]; 6];
    work_zero_mm[1] = [310.0, 20.0, -5.0];
    let expected = Machine {
        name: "screw router".into(),
        junction_deviation_mm: 0.01,
        chord_tolerance_mm: 0.002,
        look_ahead: 64,
        controller: Controller {
            timer_hz: 2_000_000,
            pulse_width_s: 1.5e-6,
            pulse_period_s: 4e-6,
            direction_setup_s: 3e-6,
        },
        axes: [
            axis(400.0, 75.0, 350.0, [-10.0, 610.0]),
            axis(400.0, 60.0, 250.0, [-10.0, 400.0]),
            // 16000 steps/in and 50 in/min, an inch being 25.4 mm.
            axis(160_000.0 / 254.0, 12_700.0 / 600.0, 120.0, [-60.0, 80.0]),
        ],
        work_zero_mm,
    };
    assert_eq!(demo("screw-router.toml"), expected);
}
