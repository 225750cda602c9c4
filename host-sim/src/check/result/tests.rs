//! What a report says of its checks, and how the worst is kept.

use super::*;

fn row(name: &'static str, pass: bool) -> CheckResult {
    let writer = Writer { hz: 4.0 };
    writer.result(name, "What.".into(), (2.0, 1.0, "mm"), &Worst::NONE, pass)
}

fn report(passes: &[bool]) -> Report {
    let names = ["first", "second", "third"];
    let rows = passes
        .iter()
        .zip(names)
        .map(|(pass, name)| row(name, *pass));
    Report {
        checks: rows.collect(),
        peak_speed_mm_s: [0.0; AXES],
        peak_acceleration_mm_s2: [0.0; AXES],
        steps: [0; AXES],
        net: [0; AXES],
        end_mm: [0.0; AXES],
    }
}

#[test]
fn one_failure_fails_all() {
    assert!(report(&[true, true]).pass());
    assert_eq!(report(&[true, true]).failures().count(), 0);
    let some = report(&[true, false, false]);
    assert!(!some.pass());
    let names: Vec<_> = some.failures().map(|row| row.name).collect();
    assert_eq!(names, ["second", "third"]);
}

// The first of equals is told.
#[test]
fn the_worst_is_kept_with_its_place() {
    let mut worst = Worst::NONE;
    for (line, value) in [(1, -3.0), (2, 5.0), (3, 4.0), (4, 5.0), (5, f64::NAN)] {
        let here = Here {
            line,
            tick: f64::from(line),
            at: [f64::from(line), 0.0, 0.0],
        };
        worst.raise(
            value,
            10.0 * f64::from(line),
            Some(line as usize % 3),
            &here,
        );
    }
    let told = Writer { hz: 4.0 }.result("a", "A.".into(), (1.0, worst.value, "s"), &worst, false);
    assert_eq!((told.worst, worst.limit, told.axis), (5.0, 20.0, Some(2)));
    assert_eq!((told.line, told.time_s), (Some(2), Some(0.5)));
    assert_eq!(told.position, Some([2.0, 0.0, 0.0]));
}

#[test]
fn nothing_measured_is_nan() {
    let told = row("a", true);
    assert_eq!((told.axis, told.line, told.time_s), (None, None, None));
    assert_eq!((told.position, told.worst, told.limit), (None, 1.0, 2.0));
    let writer = Writer { hz: 4.0 };
    let figures = (2.0, Worst::NONE.value, "mm");
    let told = writer.result("a", "A.".into(), figures, &Worst::NONE, true);
    assert!(told.worst.is_nan() && told.pass);
}

#[test]
fn axes_are_named_in_capitals() {
    assert_eq!([0, 1, 2].map(axis_name), ['X', 'Y', 'Z']);
}
