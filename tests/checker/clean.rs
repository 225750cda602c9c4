//! Clean pulses pass every check, on every machine.

use crate::machines::{SQUARE, circle, machine, machines, points};
use crate::maker::{Breach, Job};
use spokeshave_sim::check::Report;
use spokeshave_sim::machine::Machine;
use spokeshave_sim::motion::Point;

pub fn assert_clean(report: &Report, what: &str) {
    let failures: Vec<_> = report.failures().collect();
    assert!(failures.is_empty(), "{what}: {failures:#?}");
}

fn clean(machine: &Machine, points: &[Point], feed: Option<f64>, what: &str) -> Report {
    let job = Job::new(machine.clone(), points, feed);
    let report = job.run(&Breach::default());
    let rate = machine.controller.timer_hz;
    let what = format!(
        "{what}, {} steps/mm, {rate} Hz",
        machine.axes[0].steps_per_mm
    );
    assert_clean(&report, &what);
    report
}

#[test]
fn single_axis() {
    for machine in machines() {
        for axis in 0..3 {
            let mut points = [[0.0; 3]; 4];
            points[1][axis] = 25.0;
            points[2][axis] = -3.21;
            clean(&machine, &points, Some(20.0), "one axis");
            clean(&machine, &points, None, "one axis, rapid");
        }
    }
}

#[test]
fn diagonals_and_space() {
    for machine in machines() {
        let points = [
            [0.0; 3],
            [30.0, 20.0, 0.0],
            [31.0, -7.0, 5.5],
            [0.1, 0.2, 0.3],
            [0.0; 3],
        ];
        clean(&machine, &points, Some(25.0), "space");
        clean(&machine, &points, None, "space, rapid");
        clean(&machine, &SQUARE, Some(60.0), "square");
    }
}

#[test]
fn chords_of_circles() {
    for machine in machines() {
        for chord in [0.02, 0.1, 0.37, 1.0] {
            clean(
                &machine,
                &circle(5.0, chord),
                Some(15.0),
                &format!("chord {chord}"),
            );
        }
    }
}

// 500 steps/mm and coordinates in 0.001 mm: every odd thousandth lies half-way between two steps.
#[test]
fn targets_half_way_between_steps() {
    for hz in crate::machines::TIMERS {
        let machine = machine(500.0, hz);
        let zigzag: Vec<Point> = (0..200)
            .map(|k| [f64::from(k % 7) * 0.001, f64::from(k * k % 11) * 0.001, 0.0])
            .collect();
        clean(&machine, &zigzag, Some(5.0), "zigzag");
        let odd = [
            [0.001, 0.003, 0.0],
            [10.001, 0.003, 0.0],
            [10.001, 5.005, 0.0],
            [0.003, 0.001, 0.0],
        ];
        clean(&machine, &odd, Some(20.0), "from and to half-way points");
        let staircase: Vec<Point> = (0..300)
            .map(|k| {
                [
                    f64::from((k + 1) / 2) * 0.001,
                    f64::from(k / 2) * 0.001,
                    0.0,
                ]
            })
            .collect();
        clean(&machine, &staircase, Some(20.0), "staircase");
    }
}

// Back and forth over less than a step, around step positions and crossings.
#[test]
fn reversals_inside_a_step() {
    for machine in machines() {
        let step = 1.0 / machine.axes[0].steps_per_mm;
        let tremble: Vec<Point> = (0..100)
            .map(|k| {
                let x = [0.3, 0.52, 0.45, 0.6, 0.4, 0.9, 0.56, 0.43][k % 8];
                [x * step, k as f64 * step * 0.7, 0.0]
            })
            .collect();
        clean(&machine, &tremble, Some(5.0), "tremble");
    }
}

fn letters(machine: &Machine) -> Job {
    let program = include_str!("../programs/lettering.nc");
    let points = points(program);
    let mut path = vec![[0.0; 3]];
    path.extend(points.iter().map(|(point, _)| *point));
    let mut job = Job::new(machine.clone(), &path, None);
    for (piece, (_, feed)) in job.pieces.iter_mut().zip(points) {
        piece.feed = feed;
    }
    job
}

#[test]
fn lettering() {
    for machine in machines() {
        let report = letters(&machine).run(&Breach::default());
        assert_clean(&report, &format!("letters on {machine:?}"));
    }
}

#[test]
fn stops_and_rests() {
    for machine in machines() {
        let mut job = Job::new(machine, &SQUARE, Some(30.0));
        job.pieces[0].stop = true;
        job.pieces[1].rest_s = 0.25;
        let rest = job.pieces[1].clone();
        job.pieces.insert(
            2,
            spokeshave_sim::check::Piece {
                from: rest.to,
                rest_s: 0.1,
                ..rest
            },
        );
        assert_clean(&job.run(&Breach::default()), "stops");
    }
}
