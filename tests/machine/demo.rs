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
        backlash_mm: 0.0,
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

/// The numbers behind `word` in a program without comments.
fn values(program: &str, word: char) -> Vec<f64> {
    program
        .lines()
        .map(|line| line.split('(').next().unwrap_or_default())
        .flat_map(|line| line.split_whitespace().collect::<Vec<_>>())
        .filter_map(|part| part.strip_prefix(word))
        .map(|number| number.parse().unwrap())
        .collect()
}

/// Every end point of every program lies inside the travel of both machines. (All programs are in
/// mm and absolute, with G54, and no arc bulges beyond its neighbours by more than its radius.)
#[test]
fn the_programs_fit_on_both() {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..");
    for program in [
        "docs/demo/tray.nc",
        "docs/demo/leaf.nc",
        "tests/programs/coastline.nc",
        "tests/programs/lettering.nc",
        "tests/programs/relief.nc",
    ] {
        let text = std::fs::read_to_string(root.join(program)).unwrap();
        for machine in [demo("belt-router.toml"), demo("screw-router.toml")] {
            for (word, axis) in ['X', 'Y', 'Z'].into_iter().zip(machine.axes) {
                let values = values(&text, word);
                assert!(!values.is_empty());
                for value in values {
                    let [lower, upper] = axis.travel_mm;
                    assert!((lower..=upper).contains(&value), "{program}: {word}{value}");
                }
            }
        }
    }
}

/// The outline of the leaf is the curve that its comment gives, rounded to 0.001 mm.
#[test]
fn the_leaf_is_its_formula() {
    use std::f64::consts::PI;
    let text = include_str!("../../docs/demo/leaf.nc");
    let outline = &text[text.find("(outline)").unwrap()..text.find("(midrib)").unwrap()];
    let points: Vec<_> = values(outline, 'X')
        .into_iter()
        .zip(values(outline, 'Y'))
        .collect();
    assert_eq!(points.len(), 280);
    for (x, y) in points {
        let width = |x: f64| {
            let s = (x - 10.0) / 60.0;
            let bow = (PI * s).sin().max(0.0).powf(0.9);
            21.0 * bow * (1.15 - 0.5 * s) * (1.0 + 0.04 * (18.0 * PI * s).sin())
        };
        // x and y are each off by half a micrometre at most, and |y - 25| varies with x between
        // what the ends of that interval give; a hair for the last digit of the decimal text.
        let ends = [width(x - 0.0005), width(x), width(x + 0.0005)];
        let least = ends.iter().copied().fold(f64::INFINITY, f64::min) - 0.000_501;
        let most = ends.iter().copied().fold(0.0, f64::max) + 0.000_501;
        assert!((least..=most).contains(&(y - 25.0_f64).abs()), "X{x} Y{y}");
    }
}
