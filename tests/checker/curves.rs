//! Acceleration on bends, at close corners and at corners.
//!
//! A point on a circle of radius r at speed v has the acceleration v²/r towards the centre (centripetal
//! acceleration, any textbook of mechanics): the speed √(a·r) is the limit a, and 15 % more is 1.32 a.
//! What the checker may add or miss: rounding (2 % of the limit), and for chords c at the speed of a
//! circle what lies in turning.rs; less than 2 % for chords up to a tenth of the way moved in T.

use crate::clean::assert_clean;
use crate::faults::assert_fails;
use crate::machines::{circle, machine, machines};
use crate::maker::{Breach, Job};
use spokeshave_sim::check::{CheckResult, Report};
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::Point;

const ROWS: [(&str, f64); 3] = [
    ("bend acceleration", 1.1),
    ("close turn acceleration", 1.4),
    ("corner acceleration", 2.1),
];

fn row<'a>(report: &'a Report, name: &str) -> &'a CheckResult {
    let found = report.checks.iter().find(|check| check.name == name);
    found.unwrap_or_else(|| panic!("no check is called {name}"))
}

/// The worst acceleration of a row as a multiple of the limit of its axis; 0 for none.
fn ratio(report: &Report, name: &str) -> f64 {
    let check = row(report, name);
    let times = ROWS
        .iter()
        .find(|(row, _)| *row == name)
        .map_or(1.0, |row| row.1);
    if check.worst.is_nan() {
        return 0.0;
    }
    check.worst / check.limit * times
}

/// Limits of x, y and z, mm/s².
fn unequal(mut machine: Machine, limits: Point) -> Machine {
    for (axis, limit) in machine.axes.iter_mut().zip(limits) {
        axis.acceleration_limit_mm_s2 = limit;
    }
    machine
}

/// A path into a circle and out of it along a straight line, so that no speed changes in the bend.
fn with_tangents(radius: f64, chord: f64) -> Vec<Point> {
    let mut points = vec![[radius, -40.0, 0.0]];
    points.extend(circle(radius, chord));
    points.push([radius, 40.0, 0.0]);
    points
}

fn rounded(points: &mut [Point]) {
    let thousandth = |x: &mut f64| *x = (*x * 1000.0).round() / 1000.0;
    points.iter_mut().flatten().for_each(thousandth);
}

/// The feed, and no other rule, sets the speed.
const ANY_SPEED: Breach = Breach {
    bend: 1e3,
    corner: 1e3,
    speed: 1.0,
    acceleration: 1.0,
    start: 0.0,
    end: 0.0,
    stop: 0.0,
    rest: 1.0,
};

#[test]
fn a_circle_at_its_centripetal_limit() {
    let speed = (500.0f64 * 5.0).sqrt();
    for machine in machines().filter(|m| m.axes[0].speed_limit_mm_s > 1.15 * speed) {
        let what = format!("{machine:?}");
        for chord in [0.02, 0.05] {
            let job = |v| Job::new(machine.clone(), &with_tangents(5.0, chord), Some(v));
            let report = job(speed).run(&ANY_SPEED);
            assert_clean(&report, &what);
            // Chords of up to 0.06 of the way moved in T.
            let found = ratio(&report, "bend acceleration");
            assert!((0.98..1.03).contains(&found), "{found}, {what}");
            let report = job(1.15 * speed).run(&ANY_SPEED);
            assert_fails(&report, "bend acceleration", None, None);
            let found = ratio(&report, "bend acceleration");
            assert!((1.29..1.36).contains(&found), "{found}, {what}");
            let line = row(&report, "bend acceleration").line.unwrap_or(0) as usize;
            assert!(line > 1 && line < job(speed).pieces.len(), "line {line}");
        }
    }
}

// One turn of a screw line, axis of the screw along y, so that x and z turn and y goes on evenly. The
// lowest limit of the axes that turn is that of z: 60 mm/s² at a radius of 5 mm are 17.3 mm/s.
#[test]
fn a_helix_with_unequal_limits() {
    let machine = unequal(machine(400.0, 1_000_000), [800.0, 300.0, 60.0]);
    let mut points = vec![[5.0, -0.5, -20.0]];
    let turned = circle(5.0, 0.05);
    let count = turned.len() as f64;
    points.extend(
        turned
            .iter()
            .enumerate()
            .map(|(k, p)| [p[0], 0.5 * k as f64 / count, p[1]]),
    );
    points.push([5.0, 1.0, 20.0]);
    // Speed in the plane of the circle; the rise of 0.5 mm on 31.4 mm adds 1e-4 of it.
    let speed = (60.0f64 * 5.0).sqrt();
    let report = Job::new(machine.clone(), &points, Some(speed)).run(&ANY_SPEED);
    assert_clean(&report, "helix");
    let bend = row(&report, "bend acceleration");
    assert_eq!(bend.axis, Some(2));
    assert!(
        (0.98..1.03).contains(&ratio(&report, "bend acceleration")),
        "{bend:?}"
    );
    assert!(
        (bend.limit - 66.0).abs() < 1e-6,
        "1.1 of the limit of z: {bend:?}"
    );
    let report = Job::new(machine, &points, Some(1.15 * speed)).run(&ANY_SPEED);
    assert_fails(&report, "bend acceleration", Some(2), None);
    let x = report.peak_acceleration_mm_s2[0];
    assert!(
        (x - 60.0 * 1.15 * 1.15).abs() < 0.02 * 800.0,
        "peak of x: {x}"
    );
}

// The bend is on lines 402 to 407 of the job: the fault is told there, on the axis that has it.
#[test]
fn a_fault_is_told_where_it_is() {
    for hz in crate::machines::TIMERS {
        let machine = unequal(machine(400.0, hz), [900.0, 500.0, 300.0]);
        // Straight along x in 400 moves of 0.1 mm, and a quarter of a circle into y.
        let mut points: Vec<Point> = (0..400)
            .map(|k| [f64::from(k) * 0.1 - 40.0, -2.0, 0.0])
            .collect();
        let quarter = |k: i32| {
            let angle = f64::from(k) / 100.0 * std::f64::consts::FRAC_PI_2;
            [2.0 * angle.sin(), -2.0 * angle.cos(), 0.0]
        };
        points.extend((0..=100).map(quarter));
        points.push([2.0, 40.0, 0.0]);
        let speed = (500.0f64 * 2.0).sqrt();
        let report = Job::new(machine.clone(), &points, Some(speed)).run(&ANY_SPEED);
        assert_clean(&report, "a quarter of a circle");
        let report = Job::new(machine, &points, Some(1.15 * speed)).run(&ANY_SPEED);
        assert_fails(&report, "bend acceleration", Some(1), None);
        let bend = row(&report, "bend acceleration");
        // y is at its limit at the start of the circle; windows end up to 1.3 T later.
        assert!(
            bend.line.is_some_and(|line| (400..=470).contains(&line)),
            "{bend:?}"
        );
        let at = bend.position.unwrap_or_default();
        assert!(
            (-0.1..1.5).contains(&at[0]) && (-2.1..-1.0).contains(&at[1]),
            "{bend:?}"
        );
        assert!(
            bend.time_s.is_some_and(|t| t > 40.0 / (1.15 * speed)),
            "{bend:?}"
        );
    }
}

// The corner rule at 90°, with ramps at full acceleration on both sides: before the corner x slows down
// by a in T, then loses √(3.414·δ·a) at once, of a·T = √(8·δ·a): 1 + 0.653.
#[test]
fn a_lone_corner() {
    let corner = [[0.0, 0.0, 0.0], [30.0, 0.0, 0.0], [30.0, 30.0, 0.0]];
    for machine in machines() {
        let what = format!("{machine:?}");
        let job = Job::new(
            machine.clone(),
            &corner,
            Some(machine.axes[0].speed_limit_mm_s.min(60.0)),
        );
        let report = job.run(&Breach::default());
        assert_clean(&report, &what);
        let found = ratio(&report, "corner acceleration");
        assert!(found < 1.7, "{found}, {what}");
        // Coarse steps and coarse ticks need longer windows, which see less of it.
        let fine =
            machine.axes[0].steps_per_mm >= 400.0 && machine.controller.timer_hz >= 1_000_000;
        assert!(!fine || found > 1.5, "{found}, {what}");
        if machine.axes[0].speed_limit_mm_s > 40.0 {
            let report = job.run(&Breach {
                corner: 4.0,
                ..Breach::default()
            });
            assert_fails(&report, "corner acceleration", None, Some(2));
            assert!(ratio(&report, "bend acceleration") < 1.1);
        }
    }
}

// A polygon of turns g·l apart, at the speed of its circle: the table in turning.rs.
#[test]
fn corners_that_half_merge() {
    let speed = (500.0f64 * 5.0).sqrt();
    for machine in machines().filter(|m| m.axes[0].speed_limit_mm_s > 1.15 * speed) {
        let what = format!("{machine:?}");
        // δ is 0.02 mm, so l is 0.894 mm. Ticks and steps may be off by 2 %.
        for chord in [0.3, 0.35, 0.4, 0.44] {
            let job = |v| Job::new(machine.clone(), &with_tangents(5.0, chord), Some(v));
            let report = job(speed).run(&ANY_SPEED);
            assert_clean(&report, &what);
            assert!(ratio(&report, "corner acceleration") < 1.1, "{what}");
            let found = ratio(&report, "close turn acceleration");
            assert!(
                (0.98..1.32 * 1.02).contains(&found),
                "{found}, {chord}, {what}"
            );
            let report = job(1.3 * speed).run(&ANY_SPEED);
            if machine.axes[0].speed_limit_mm_s > 1.3 * speed {
                assert!(
                    !row(&report, "close turn acceleration").pass
                        || !row(&report, "bend acceleration").pass,
                    "{chord}, {what}"
                );
            }
        }
    }
}

// Straight along x in moves of 0.01 to 0.02 mm rounded to 0.001 mm: turns of up to 0.1 rad at every
// vertex, at 60 mm/s. They are no corners, and no acceleration.
#[test]
fn rounded_chords_on_a_straight_line() {
    for (per_mm, hz) in [(80.0, 1_000_000), (400.0, 1_000_000), (400.0, 84_000_000)] {
        for (chord, slope) in [(0.01, 0.0), (0.013, 0.1), (0.02, 0.37)] {
            let mut points: Vec<Point> = (0..1500)
                .map(|k| {
                    let x = f64::from(k) * chord;
                    [x, slope * x + 0.0004 * f64::from(k * k % 7 - 3), 0.0]
                })
                .collect();
            rounded(&mut points);
            let job = Job::new(machine(per_mm, hz), &points, Some(60.0));
            let report = job.run(&ANY_SPEED);
            assert_clean(&report, "rounded chords");
            for (name, _) in &ROWS[1..] {
                assert!(ratio(&report, name) < 1.1, "{name}, chords of {chord}");
            }
        }
    }
}

// The same rounding on a circle hides no speed that is too high.
#[test]
fn rounded_chords_on_a_circle() {
    let speed = (500.0f64 * 5.0).sqrt();
    for chord in [0.01, 0.02, 0.05] {
        let mut points = with_tangents(5.0, chord);
        rounded(&mut points);
        let job = |v| Job::new(machine(400.0, 1_000_000), &points, Some(v));
        assert_clean(&job(speed).run(&ANY_SPEED), "rounded circle");
        assert_fails(
            &job(1.15 * speed).run(&ANY_SPEED),
            "bend acceleration",
            None,
            None,
        );
    }
}

// A stop between two directions: ramps to rest and from rest, within the limits at every moment.
#[test]
fn a_stop_at_a_corner_is_no_corner() {
    for machine in machines() {
        let mut job = Job::new(
            machine,
            &[[0.0; 3], [20.0, 0.0, 0.0], [6.0, 14.0, 0.0]],
            Some(20.0),
        );
        job.pieces[0].stop = true;
        let report = job.run(&Breach::default());
        assert_clean(&report, "stop");
        assert_eq!(ratio(&report, "corner acceleration"), 0.0);
        assert!(ratio(&report, "bend acceleration") < 1.03);
    }
}

// Nothing moves fast enough to come to half of a limit: the rows say so and pass.
#[test]
fn nothing_to_measure() {
    let report = Job::new(
        machine(80.0, 1_000_000),
        &[[0.0; 3], [0.02, 0.0, 0.0]],
        Some(1.0),
    )
    .run(&Breach::default());
    for (name, _) in ROWS {
        let check = row(&report, name);
        assert!(
            check.pass && check.worst.is_nan() && check.limit.is_finite(),
            "{check:?}"
        );
        assert!(check.what.contains("No axis"), "{check:?}");
    }
}
