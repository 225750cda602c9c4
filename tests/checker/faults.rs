//! Single wrong pulses: each is found by the check that is there for it, on its axis and line.

use crate::clean::assert_clean;
use crate::machines::{SQUARE, machine, machines};
use crate::maker::{Breach, Job, Step};
use spokeshave_sim::check::{CheckResult, Report};

/// The check fails, on that axis and line (± 1 piece), where they are given.
pub fn assert_fails(report: &Report, name: &str, axis: Option<usize>, line: Option<u32>) {
    let named: Vec<&CheckResult> = report.checks.iter().filter(|c| c.name == name).collect();
    assert!(!named.is_empty(), "no check is called {name}");
    let hit = named.iter().any(|check| {
        !check.pass
            && (axis.is_none() || check.axis == axis)
            && line.is_none_or(|line| check.line.is_some_and(|l| l.abs_diff(line) <= 1))
    });
    assert!(hit, "{name} on axis {axis:?}, line {line:?}: {named:#?}");
}

/// A path with diagonals, so that each axis is held against another, and a line for each piece.
fn job() -> Job {
    let points = [
        [0.0, 0.0, 0.0],
        [20.0, 15.0, 0.0],
        [38.0, -3.0, 2.0],
        [20.5, 12.0, 1.0],
        [0.3, 0.4, 0.0],
        [25.0, 0.4, 0.0],
        [25.0, 20.0, 0.0],
    ];
    Job::new(machine(80.0, 1_000_000), &points, Some(25.0))
}

fn steps(job: &Job) -> Vec<Step> {
    let steps = job.steps(&Breach::default());
    assert_clean(&job.check(&steps), "before the fault");
    steps
}

/// Index of a step of `axis` in the middle of piece `piece`.
fn middle(steps: &[Step], axis: usize, piece: usize) -> usize {
    let on = |(_, step): &(usize, &Step)| step.axis == axis && step.piece == piece;
    let all: Vec<usize> = steps
        .iter()
        .enumerate()
        .filter(on)
        .map(|(k, _)| k)
        .collect();
    all[all.len() / 2]
}

fn line(job: &Job, step: Step) -> Option<u32> {
    Some(job.pieces[step.piece].line)
}

#[test]
fn lost_step() {
    let job = job();
    let steps = steps(&job);
    for (axis, piece) in [(0, 0), (1, 0), (0, 2), (1, 2), (2, 2), (1, 5)] {
        let mut steps = steps.clone();
        let lost = steps.remove(middle(&steps, axis, piece));
        let report = job.check(&steps);
        assert_fails(&report, "steps", Some(axis), line(&job, lost));
        assert_fails(&report, "path", Some(axis), line(&job, lost));
        assert_fails(&report, "end position", Some(axis), Some(6));
        if piece != 5 {
            // The other axes go on as before: they are not blamed.
            for other in (0..3).filter(|other| *other != axis) {
                let right = |c: &&CheckResult| c.name == "steps" && c.axis == Some(other);
                assert!(report.checks.iter().find(right).is_some_and(|c| c.pass));
            }
        }
    }
}

#[test]
fn lost_last_step() {
    for machine in machines() {
        for axis in 0..3 {
            let mut points = [[0.0; 3]; 2];
            points[1][axis] = 10.0;
            let job = Job::new(machine.clone(), &points, Some(15.0));
            let mut steps = steps(&job);
            steps.pop();
            let report = job.check(&steps);
            assert_fails(&report, "end position", Some(axis), Some(1));
            assert_fails(&report, "steps", Some(axis), Some(1));
            assert_fails(&report, "path", Some(axis), Some(1));
        }
    }
}

#[test]
fn extra_step() {
    let job = job();
    let steps = steps(&job);
    for (axis, piece) in [(0, 0), (1, 0), (0, 3), (1, 3)] {
        let mut steps = steps.clone();
        let at = middle(&steps, axis, piece);
        let extra = Step {
            tick: steps[at].tick + 90,
            ..steps[at]
        };
        let after = steps.partition_point(|step| step.tick <= extra.tick);
        steps.insert(after, extra);
        let report = job.check(&steps);
        assert_fails(&report, "steps", Some(axis), line(&job, extra));
        assert_fails(&report, "path", None, line(&job, extra));
        assert_fails(&report, "end position", Some(axis), None);
    }
}

// An extra pair, there and back: net position is right, the count is not.
#[test]
fn extra_pair() {
    let job = job();
    let mut steps = steps(&job);
    let at = middle(&steps, 1, 5);
    let step = steps[at];
    steps.insert(
        at + 1,
        Step {
            tick: step.tick + 100,
            ..step
        },
    );
    steps.insert(
        at + 2,
        Step {
            tick: step.tick + 200,
            direction: -step.direction,
            ..step
        },
    );
    let report = job.check(&steps);
    assert_fails(&report, "steps", Some(1), line(&job, step));
    assert_fails(&report, "path", Some(1), line(&job, step));
}

#[test]
fn swapped_direction() {
    let job = job();
    let steps = steps(&job);
    for (axis, piece) in [(0, 0), (1, 2), (0, 4)] {
        let mut steps = steps.clone();
        let at = middle(&steps, axis, piece);
        steps[at].direction *= -1;
        let report = job.check(&steps);
        assert_fails(&report, "steps", Some(axis), line(&job, steps[at]));
        assert_fails(&report, "path", Some(axis), line(&job, steps[at]));
        assert_fails(&report, "end position", Some(axis), None);
    }
}

#[test]
fn swapped_axes() {
    let job = job();
    let mut steps = steps(&job);
    steps
        .iter_mut()
        .for_each(|step| step.axis = [1, 0, 2][step.axis]);
    let report = job.check(&steps);
    for axis in 0..2 {
        assert_fails(&report, "steps", Some(axis), None);
        assert_fails(&report, "end position", Some(axis), None);
    }
    assert_fails(&report, "path", None, None);
}

#[test]
fn pulse_too_soon() {
    for machine in machines() {
        let job = Job::new(machine, &SQUARE, Some(20.0));
        let mut steps = steps(&job);
        let hz = f64::from(job.machine.controller.timer_hz);
        // One tick less than the period in whole ticks.
        let period = (job.machine.controller.pulse_period_s * hz - 1e-6)
            .ceil()
            .max(1.0) as u64;
        let at = middle(&steps, 1, 1);
        let before = steps[..at].iter().rposition(|s| s.axis == 1).unwrap();
        steps[at].tick = steps[before].tick + period - 1;
        steps.sort_by_key(|step| step.tick);
        let report = job.check(&steps);
        assert_fails(&report, "pulse period", Some(1), Some(2));
    }
}

#[test]
fn direction_change_too_soon() {
    let points = [
        [0.0; 3],
        [10.0, 0.0, 0.0],
        [10.0, 5.0, 0.0],
        [0.0, 5.0, 0.0],
    ];
    let job = Job::new(machine(80.0, 1_000_000), &points, Some(20.0));
    let mut steps = steps(&job);
    // Longer than the period of 5 µs, less than 2 µs of pulse and 5 µs of set-up.
    let back = steps
        .iter()
        .position(|s| s.axis == 0 && s.direction < 0)
        .unwrap();
    let last = steps[..back].iter().rposition(|s| s.axis == 0).unwrap();
    steps[last].tick = steps[back].tick - 6;
    steps.sort_by_key(|step| step.tick);
    let report = job.check(&steps);
    assert_fails(&report, "direction setup", Some(0), Some(3));
    assert!(
        report
            .checks
            .iter()
            .all(|c| c.name != "pulse period" || c.pass)
    );
}

// All pulses of one axis 2 ms late: nothing but the path shows it.
#[test]
fn late_axis() {
    for hz in crate::machines::TIMERS {
        for axis in 0..2 {
            let mut job = job();
            job.machine.controller.timer_hz = hz;
            let mut steps = steps(&job);
            let late = u64::from(hz) / 500;
            steps
                .iter_mut()
                .filter(|s| s.axis == axis)
                .for_each(|s| s.tick += late);
            steps.sort_by_key(|step| step.tick);
            assert_fails(&job.check(&steps), "path", None, None);
        }
    }
}

// The pulses of a path whose second corner is cut by 0.1 mm.
#[test]
fn cut_corner() {
    let job = Job::new(machine(80.0, 1_000_000), &SQUARE, Some(20.0));
    let mut points = SQUARE.to_vec();
    points.splice(2..3, [[40.0, 39.9, 0.0], [39.9, 40.0, 0.0]]);
    let mut cut = Job::new(job.machine.clone(), &points, Some(20.0)).steps(&Breach::default());
    for step in &mut cut {
        step.piece = step.piece.min(3);
    }
    let report = job.check(&cut);
    assert_fails(&report, "path", None, Some(3));
}

#[test]
fn input_that_makes_no_sense() {
    let job = job();
    let good = steps(&job);
    // A piece that does not start where the last one ended.
    let mut torn = job.clone();
    torn.pieces[3].from[0] += 0.01;
    assert_fails(&torn.check(&good), "input", None, Some(4));
    // Numbers that are not finite.
    for bad in [f64::NAN, f64::INFINITY] {
        let mut wild = job.clone();
        wild.pieces[2].to[1] = bad;
        assert_fails(&wild.check(&good), "input", None, Some(3));
        let mut wild = job.clone();
        wild.pieces[2].feed = Some(bad - bad);
        assert_fails(&wild.check(&good), "input", None, Some(3));
        let mut wild = job.clone();
        wild.machine.axes[1].steps_per_mm = bad;
        assert_fails(&wild.check(&good), "input", None, None);
    }
    // Ticks that go back.
    let mut back = good.clone();
    let at = middle(&back, 0, 2);
    back[at].tick -= 10_000;
    assert_fails(&job.check(&back), "input", None, Some(3));
    // Pulses and no path; a path and no pulses.
    let mut nowhere = job.clone();
    nowhere.pieces.clear();
    assert_fails(&nowhere.check(&good), "path", None, None);
    assert_fails(&job.check(&[]), "path", None, None);
    assert_fails(&job.check(&[]), "steps", None, None);
    // Pulses that never fit do not hold the path.
    let mut wrong = good.clone();
    wrong.iter_mut().for_each(|step| step.axis = 2);
    assert_fails(&job.check(&wrong), "path", None, None);
}
