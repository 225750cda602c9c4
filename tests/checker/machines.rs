//! Machines and paths for the tests.

use spokeshave_sim::machine::{Axis, Controller, Machine};
use spokeshave_sim::motion::Point;

/// Resolutions from a coarse rack to fine microsteps, steps/mm: 629.921 is a 1/2-10 Acme screw
/// (ASME B1.5) with 200 full steps and 8 microsteps.
pub const RESOLUTIONS: [f64; 5] = [10.0, 80.0, 400.0, 629.921, 1600.0];

/// Timer rates, Hz.
pub const TIMERS: [u32; 3] = [100_000, 1_000_000, 84_000_000];

/// A bench router: 500 mm/s² in x and y, 300 mm/s² in z, up to 8 m/min where the timer allows.
pub fn machine(per_mm: f64, timer_hz: u32) -> Machine {
    // At most a step in three ticks, and in three minimum periods.
    let fastest = f64::from(timer_hz).min(200e3) / 3.0 / per_mm;
    let axis = |speed: f64, acceleration| Axis {
        steps_per_mm: per_mm,
        speed_limit_mm_s: speed.min(fastest),
        acceleration_limit_mm_s2: acceleration,
        travel_mm: [-1000.0, 1000.0],
        backlash_mm: 0.0,
    };
    Machine {
        name: "test router".into(),
        junction_deviation_mm: 0.02,
        chord_tolerance_mm: 0.005,
        look_ahead: 32,
        controller: Controller {
            timer_hz,
            pulse_width_s: 2e-6,
            pulse_period_s: 5e-6,
            direction_setup_s: 5e-6,
        },
        axes: [axis(133.0, 500.0), axis(133.0, 500.0), axis(50.0, 300.0)],
        work_zero_mm: [[0.0; 3]; 6],
    }
}

/// Whether to try little, and that soon: mutation testing does, before it tries everything.
pub fn quick() -> bool {
    std::env::var_os("SPOKESHAVE_QUICK_TESTS").is_some()
}

/// Every machine of the tests, or those that take little time.
pub fn machines() -> impl Iterator<Item = Machine> {
    let all = !quick();
    let pairs = RESOLUTIONS.iter().flat_map(|n| TIMERS.map(|hz| (*n, hz)));
    pairs
        .filter(move |(n, hz)| {
            all || *n < 100.0 && *hz < 10_000_000 || *n == 400.0 && *hz == 1_000_000
        })
        .map(|(n, hz)| machine(n, hz))
}

/// A circle of chords in xy, from its rightmost point.
pub fn circle(radius: f64, chord: f64) -> Vec<Point> {
    let count = (2.0 * std::f64::consts::PI * radius / chord).ceil();
    let point = |k: usize| {
        let angle = k as f64 / count * 2.0 * std::f64::consts::PI;
        [radius * angle.cos(), radius * angle.sin(), 0.0]
    };
    (0..=count as usize).map(point).collect()
}

/// A square of 40 mm sides.
pub const SQUARE: [Point; 5] = [
    [0.0, 0.0, 0.0],
    [40.0, 0.0, 0.0],
    [40.0, 40.0, 0.0],
    [0.0, 40.0, 0.0],
    [0.0, 0.0, 0.0],
];

/// Points of the G0 and G1 words of a program, with `true` for rapids: X, Y, Z only.
pub fn points(program: &str) -> Vec<(Point, Option<f64>)> {
    let mut at = [0.0; 3];
    let mut feed = 10.0;
    let mut rapid = true;
    let mut out = Vec::new();
    for line in program.lines().filter(|line| !line.starts_with('(')) {
        let mut moves = false;
        for word in line.split_whitespace() {
            let (letter, number) = word.split_at(1);
            let Ok(number) = number.parse::<f64>() else {
                continue;
            };
            match letter {
                "X" | "Y" | "Z" => {
                    at["XYZ".find(letter).unwrap_or(0)] = number;
                    moves = true;
                }
                "F" => feed = number / 60.0,
                "G" if number <= 1.0 => rapid = number == 0.0,
                _ => {}
            }
        }
        if moves {
            out.push((at, (!rapid).then_some(feed)));
        }
    }
    out
}
