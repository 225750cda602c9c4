//! Machine files at the ends of their ranges: refused with the true reason, or the job is right.

use crate::long_jobs::watched;
use crate::workshop::Workshop;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::machine_file;

/// The ends of one machine file, and values between.
const RESOLUTIONS: [f64; 3] = [0.1, 629.921, 20_000.0];
const SPEEDS: [f64; 3] = [0.01, 100.0, 2_000.0];
const ACCELERATIONS: [f64; 2] = [1.0, 50_000.0];
const TIMERS: [f64; 3] = [1e4, 1e6, 2e8];
/// Pulse period, and junction deviation, s and mm.
const PERIODS: [f64; 2] = [1e-7, 0.01];
const DEVIATIONS: [f64; 2] = [0.0005, 1.0];

/// A machine file. The axes y and z are those of a common router, as fast as the controller allows.
fn file(x: [f64; 3], timer: f64, period: f64, deviation: f64) -> String {
    let [resolution, speed, acceleration] = x;
    let common = 80.0_f64;
    let most = (0.9 * most_steps(timer, period) / common).min(50.0);
    let axis = |name: &str, resolution: f64, speed: f64, acceleration: f64| {
        format!(
            "[axis.{name}]\nresolution = \"{resolution} steps/mm\"\nspeed_limit = \"{speed} mm/s\"\n\
             acceleration_limit = \"{acceleration} mm/s^2\"\ntravel = [\"-10000 mm\", \"10000 mm\"]\n"
        )
    };
    format!(
        "name = \"extreme\"\njunction_deviation = \"{deviation} mm\"\nlook_ahead = 32\n[controller]\n\
         timer = \"{timer} Hz\"\npulse_width = \"50 ns\"\npulse_period = \"{} us\"\n\
         direction_setup = \"0 us\"\n",
        period * 1e6
    ) + &axis("x", resolution, speed, acceleration)
        + &axis("y", common, most, 300.0)
        + &axis("z", common, most, 300.0)
}

/// Steps in a second: a step begins at a tick, and not in each.
fn most_steps(timer: f64, period: f64) -> f64 {
    timer / (period * timer).round().max(2.0)
}

/// There and back along x, with y and z, by an arc, with moves too short for a step, and a dwell.
fn program(size: f64, feed: f64) -> String {
    let half = 0.5 * size;
    let tiny: String = (1..=40)
        .map(|k| format!("X{:.6}\n", size + 1e-6 * f64::from(k)))
        .collect();
    format!(
        "G21 G90 G17 G94 F{feed}\nG1 X{size:.6}\n{tiny}G1 X{size:.6} Y{half:.6}\n\
         G3 X{half:.6} Y{size:.6} I{:.6} J0\nG4 P0.25\nG1 X0 Z{half:.6}\nG0 X-{size:.6} Y0\nX0 Z0\nM2\n",
        -half
    )
}

/// So large that the job has some thousand steps or takes some seconds.
fn size(machine: &Machine) -> f64 {
    let each = machine.axes.iter().map(|axis| {
        let (v, a) = (axis.speed_limit_mm_s, axis.acceleration_limit_mm_s2);
        (5_000.0 / axis.steps_per_mm).min(v).min(a)
    });
    each.fold(500.0, f64::min).max(1e-4)
}

#[test]
fn every_machine_file_is_refused_with_its_reason_or_its_job_is_right() {
    let (mut good, mut refused) = (0, 0);
    for resolution in RESOLUTIONS {
        for speed in SPEEDS {
            for acceleration in ACCELERATIONS {
                for timer in TIMERS {
                    for period in PERIODS {
                        for deviation in DEVIATIONS {
                            let x = [resolution, speed, acceleration];
                            let text = file(x, timer, period, deviation);
                            let fits = resolution * speed <= most_steps(timer, period);
                            match machine_file::read("machine.toml", &text) {
                                Ok(machine) => {
                                    assert!(fits, "{text}");
                                    is_right(&machine);
                                    good += 1;
                                }
                                Err(error) => {
                                    let error = error.to_string();
                                    let most = most_steps(timer, period);
                                    let cause = format!(
                                        "takes {:.0} steps/s, but the controller makes at most {most:.0}",
                                        resolution * speed
                                    );
                                    assert!(!fits && error.contains(&cause), "{error}\n{text}");
                                    refused += 1;
                                }
                            }
                        }
                    }
                }
            }
        }
    }
    println!("{good} machines, {refused} refused");
    assert!(good > 100 && refused > 20);
}

/// Ends where it began, and no check fails.
fn is_right(machine: &Machine) {
    let size = size(machine);
    // 0.001 mm/s and 10 000 mm/s are the slowest feed and the fastest.
    for (size, feed) in [(size.min(0.002), 0.06), (size, 600_000.0)] {
        let (_, totals) = watched(machine, &program(size, feed));
        assert_eq!(totals.end_mm, [0.0; 3], "{machine:?}");
        let driver = machine.controller.pulse_period_s;
        // A pulse is late by the driver's times at most, and by a tick of rounding or two.
        let most = driver + 2.0 / f64::from(machine.controller.timer_hz);
        assert!(totals.worst_late_s <= most, "{machine:?}: {totals:?}");
    }
}

/// The tool itself: over all of its travel and back at 0.1 steps/mm, exit status and summary.
#[test]
fn twenty_metres_there_and_back() {
    let shop = Workshop::new();
    let text = file([0.1, 2_000.0, 50_000.0], 2e8, 1e-7, 1.0);
    shop.write("machine.toml", text);
    let program = "G21 G90\nG0 X-10000 Y-10000\nX10000 Y10000 Z3\nG1 X0 Y0 Z0 F600000\nM2\n";
    let summary = shop.summary(program, &[]);
    for axis in ["x", "y", "z"] {
        assert_eq!(summary["end_mm"][axis], 0.0);
    }
    // 0.1 × 40 000 and 80 × 40 000.
    assert_eq!(summary["steps"]["x"], 4_000);
    assert_eq!(summary["steps"]["y"], 3_200_000);
}
