//! What a check says that it measured, and its limit, follow from the machine.
//!
//! Times of the design: T = √(8δ/a) is 17.889 ms at 500 mm/s² and 0.02 mm, 23.094 ms at 300 mm/s².

use crate::machines::{SQUARE, machine};
use crate::maker::{Breach, Job};
use spokeshave_sim::check::{CheckResult, Report};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::Point;

fn row<'a>(report: &'a Report, name: &str, axis: Option<usize>) -> &'a CheckResult {
    let named = |check: &&CheckResult| check.name == name && (axis.is_none() || check.axis == axis);
    report.checks.iter().find(named).expect("a row")
}

fn says(report: &Report, name: &str, axis: Option<usize>, words: &str) {
    let check = row(report, name, axis);
    assert!(check.what.contains(words), "no {words:?} in {check:?}");
}

fn says_not(report: &Report, name: &str, axis: Option<usize>, words: &str) {
    let check = row(report, name, axis);
    assert!(!check.what.contains(words), "{words:?} in {check:?}");
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * b.abs()
}

fn run(machine: Machine, points: &[Point], feed: f64) -> Report {
    Job::new(machine, points, Some(feed)).run(&Breach::default())
}

#[test]
fn acceleration_on_straights() {
    let report = run(
        machine(80.0, 84_000_000),
        &[[0.0; 3], [40.0, 0.0, 30.0]],
        25.0,
    );
    for (axis, whole, part, limit) in [
        (0, "over 17.889 ms", "mean over 2.236 ms", 500.0),
        (2, "over 23.094 ms", "mean over 2.887 ms", 300.0),
    ] {
        let name = "straight acceleration";
        says(&report, name, Some(axis), whole);
        says(&report, name, Some(axis), part);
        says(
            &report,
            name,
            Some(axis),
            &format!("limit of {limit}.000 mm/s²"),
        );
        says_not(&report, name, Some(axis), "where ticks are coarse");
        assert!(near(row(&report, name, Some(axis)).limit, 1.03 * limit));
    }
    // z is at its limit, in the sum of both directions the path at 300/0.6 of it, and x at 400.
    let z = row(&report, "straight acceleration", Some(2));
    assert!((z.worst / 300.0 - 1.0).abs() < 0.03 && z.pass, "{z:?}");
    let peak = report.peak_acceleration_mm_s2;
    assert!(
        (peak[0] / 400.0 - 1.0).abs() < 0.03 && peak[1] == 0.0,
        "{peak:?}"
    );
}

// Ticks of 10 µs at 25 mm/s: w·D ≥ 4·(25 mm/s · 1e-5 s + 8e-6 mm)/(2 % · a) = 1.03e-4 s² = 0.32·T², so
// windows of T/2, and half as much in the ramps.
#[test]
fn longer_windows_are_told_of() {
    let report = run(machine(80.0, 100_000), &[[0.0; 3], [40.0, 0.0, 0.0]], 25.0);
    let name = "straight acceleration";
    says(
        &report,
        name,
        Some(0),
        "mean over 2.236 ms or one step, up to 8.944 ms where ticks are coarse",
    );
    says_not(&report, name, Some(1), "where ticks are coarse");
}

#[test]
fn acceleration_on_bends_and_at_corners() {
    let report = run(machine(80.0, 84_000_000), &SQUARE, 25.0);
    for (name, times) in [
        ("bend acceleration", "1.10"),
        ("close turn acceleration", "1.40"),
        ("corner acceleration", "2.10"),
    ] {
        says(
            &report,
            name,
            None,
            &format!("At most {times} times the limit"),
        );
    }
    let corner = row(&report, "corner acceleration", None);
    says(
        &report,
        "corner acceleration",
        None,
        "over 17.889 ms, each velocity a mean over 2.236 ms",
    );
    says(&report, "corner acceleration", None, "with 500.000 mm/s²");
    says_not(
        &report,
        "corner acceleration",
        None,
        "where ticks are coarse",
    );
    assert!(near(corner.limit, 2.1 * 500.0));
    assert!(corner.worst > 500.0 && corner.pass, "{corner:?}");
    says(
        &report,
        "close turn acceleration",
        None,
        "No axis came to 0.5 of its limit there.",
    );
    // At ticks of 10 µs the corners, passed at 6.9 mm/s, need w·D ≥ 4·(a·T/2 + 6.9 mm/s)·1e-5 s/(2 % · a).
    let report = run(machine(80.0, 100_000), &SQUARE, 25.0);
    says(
        &report,
        "corner acceleration",
        None,
        "ms where ticks are coarse",
    );
}

// The limits are the greatest speeds: 7 ticks that a pulse may be late, 200 times; or 400 ticks; or 0.016 mm.
#[test]
fn speeds() {
    for (hz, limit, window) in [
        (1_000_000, 40.0, "1.400"),
        (100_000, 40.0, "4.000"),
        (1_000_000, 5.0, "3.200"),
    ] {
        let mut machine = machine(80.0, hz);
        machine.axes[0].speed_limit_mm_s = limit;
        let report = run(machine, &[[0.0; 3], [20.0, 0.0, 0.0]], 4.0);
        let name = "axis speed";
        says(
            &report,
            name,
            Some(0),
            &format!("a mean over {window} ms or one step"),
        );
        says(&report, name, Some(0), &format!("limit of {limit:.3} mm/s"));
        let speed = row(&report, name, Some(0));
        assert!(near(speed.limit, 1.0125 * limit), "{speed:?}");
        assert!((speed.worst / 4.0 - 1.0).abs() < 0.0125, "{speed:?}");
        let peak = report.peak_speed_mm_s;
        assert!(near(peak[0], speed.worst) && peak[1] == 0.0, "{peak:?}");
        let feed = row(&report, "feed", None);
        let least = if hz == 100_000 { "4.000" } else { "1.400" };
        says(
            &report,
            "feed",
            None,
            &format!("a mean over {least} ms and 0.016 mm"),
        );
        assert!(near(feed.limit, 1.0125 * 4.0), "{feed:?}");
        assert!((feed.worst / 4.0 - 1.0).abs() < 0.0125, "{feed:?}");
    }
}

// Start, end and one stop; three corners, each far from the next, of which one is that stop.
#[test]
fn stops_and_corners_are_counted() {
    let mut job = Job::new(machine(80.0, 1_000_000), &SQUARE, Some(18.0));
    job.pieces[1].stop = true;
    let report = job.run(&Breach::default());
    says(&report, "rest", None, "every stop (3 in all)");
    says(&report, "corner speed", None, "2 of 2 corners");
    // One eighth of T at the least acceleration.
    says(&report, "sudden stop", None, "a time of 2.887 ms or more");
    // Two ticks, and the seven that a pulse may be late.
    assert!(near(row(&report, "rest", None).limit, 9e-6));
    says(
        &report,
        "steps",
        Some(0),
        "Steps of X, 6400 made and 6400 expected",
    );
    assert_eq!(row(&report, "steps", Some(0)).worst, 0.0);
    let end = row(&report, "end position", Some(0));
    assert!(
        near(end.limit, 0.5625 / 80.0 + 1e-5) && end.worst < 1e-9,
        "{end:?}"
    );
}

// 500 steps/mm, to 0.005 mm and back: the fifth half step may be made or not, and then there are two more.
#[test]
fn counts_that_may_be_one_or_another_are_told() {
    let report = run(
        machine(500.0, 1_000_000),
        &[[0.0; 3], [0.005, 0.0, 0.0], [0.0; 3]],
        1.0,
    );
    says(
        &report,
        "steps",
        Some(0),
        "4 to 6 (turns at a half-way point may step or not) expected",
    );
}

// A dwell of 0.2 s that is cut to 0.1 s; the rest is missing in full, but for the rounding allowed.
#[test]
fn what_is_missing_of_a_rest() {
    let mut job = Job::new(machine(80.0, 1_000_000), &SQUARE, Some(18.0));
    job.pieces[1].rest_s = 0.2;
    let report = job.run(&Breach {
        rest: 0.5,
        ..Breach::default()
    });
    let rest = row(&report, "rest", None);
    // Half a step before the place and half a step after it, √(2·0.00625 mm/500 mm/s²) = 5 ms each: 0.2 % of that is
    // not asked for, nor what 2e-5 mm less take less, 8 µs. A tick of 1 µs for each of two pulses.
    assert!((0.1 - rest.worst - 36e-6).abs() < 3e-6, "{rest:?}");
    assert!(!rest.pass);
    // At the first pulse after the rest.
    assert_eq!(rest.line, Some(3));
    assert!(
        rest.time_s.is_some_and(|t| (4.0..6.0).contains(&t)),
        "{rest:?}"
    );
}

// The least distance in time of two pulses is the worst, in seconds; limits too.
#[test]
fn spacing_in_seconds() {
    let report = run(
        machine(80.0, 1_000_000),
        &[[0.0; 3], [10.0, 0.0, 0.0], [5.0, 0.0, 0.0]],
        20.0,
    );
    let period = row(&report, "pulse period", None);
    assert!(near(period.limit, 5e-6), "{period:?}");
    // 20 mm/s at 80 steps/mm: 1600 a second, but for a tick.
    assert!((period.worst - 1.0 / 1600.0).abs() < 1.1e-6, "{period:?}");
    let setup = row(&report, "direction setup", None);
    assert!(
        near(setup.limit, 7e-6) && setup.worst > 1e-3 && setup.pass,
        "{setup:?}"
    );
}
