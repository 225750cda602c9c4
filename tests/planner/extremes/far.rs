//! To the ends of the range and back.

use super::judge::{self, room, trapezoid};
use super::machines::controller;
use spokeshave::{Axis, Controller, Coordinate, Machine, Planner};
use spokeshave_tests::exact::{self, mm};
use spokeshave_tests::job::Job;
use spokeshave_tests::rules;

/// As far as a coordinate goes.
const END: Coordinate = Coordinate::from_counts(i32::MAX);
const OTHER_END: Coordinate = Coordinate::from_counts(-i32::MAX);

/// There and back over all of ±16 m at a step a mm, with every pulse.
#[test]
fn to_the_ends_and_back_with_every_pulse() {
    let axis = Axis {
        steps_per_mm: 1.0,
        speed_limit: 2_000.0,
        acceleration_limit: 50_000.0,
    };
    for timer in [10_000, 1_000_000, 200_000_000] {
        let machine = Machine::new([axis; 3], controller(timer, 1), 0.02).unwrap();
        let mut job = Job::new(machine, mm([0.1, -0.2, 0.3]));
        for to in [
            [END; 3],
            [OTHER_END, END, END],
            [OTHER_END; 3],
            [END, OTHER_END, Coordinate::ZERO],
            [Coordinate::ZERO; 3],
        ] {
            job.line(to, None, false);
        }
        judge::run(&job, &format!("{timer}"));
    }
}

/// Over all of it at 20 000 steps/mm are 655 million steps, so the plan alone: it ends on the very
/// 2⁻³² of a step, after the time of the textbook, within its limits all the way.
#[test]
fn the_finest_steps_over_the_whole_range_by_the_plan() {
    let axis = Axis {
        steps_per_mm: 20_000.0,
        speed_limit: 1_000.0,
        acceleration_limit: 50_000.0,
    };
    let slow = Axis {
        speed_limit: 1.0,
        acceleration_limit: 1.0,
        ..axis
    };
    for axis in [axis, slow] {
        let long = Controller {
            ramp_time: 0.1,
            ..controller(200_000_000, 10)
        };
        let machine = Machine::new([axis], long, 0.02).unwrap();
        there(machine, [OTHER_END], [END]);
    }
}

/// 10 m at 0.01 mm/s are eleven days and a half, 10 million ramps of 0.1 s: as many, and as even,
/// as a plan may need.
#[test]
fn eleven_days_of_one_move_by_the_plan() {
    let axis = Axis {
        steps_per_mm: 400.0,
        speed_limit: 0.01,
        acceleration_limit: 50_000.0,
    };
    let long = Controller {
        ramp_time: 0.1,
        ..controller(1_000_000, 5)
    };
    let machine = Machine::new([axis], long, 0.02).unwrap();
    there(machine, mm([0.0]), mm([10_000.0]));
}

/// The weakest axis that is allowed on the fastest timer with the shortest ramps: each changes the
/// speed by a few units of its last place.
#[test]
fn the_weakest_axis_over_the_whole_range_by_the_plan() {
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 2_000.0,
        acceleration_limit: 0.1,
    };
    let short = Controller {
        ramp_time: 5e-4,
        ..controller(400_000_000, 10)
    };
    let machine = Machine::new([axis], short, 0.02).unwrap();
    there(machine, [OTHER_END], [END]);
}

/// One move, its ramps added up one by one.
fn there(machine: Machine<1>, from: [Coordinate; 1], to: [Coordinate; 1]) {
    let mut planner: Box<Planner<1, 4>> = Box::new(Planner::new(machine, from));
    planner.line(to, None, 0).unwrap();
    planner.stop();
    let mut position = exact::position(&machine, &from)[0];
    let (mut speed, mut duration) = (0.0, 0_u128);
    let limit = machine.axes()[0].speed_limit;
    while let Some(ramp) = planner.next_ramp() {
        assert_eq!(ramp.entry_speed, speed);
        speed = ramp.exit_speed;
        assert!((0.0..=limit).contains(&speed), "{ramp:?}");
        position += ramp.steps[0];
        duration += u128::from(ramp.duration);
    }
    let target = exact::position(&machine, &to)[0];
    assert_eq!(speed, 0.0);
    assert!((position - target).abs() <= 1, "{position} {target}");
    let hz = f64::from(machine.controller().timer_hz);
    let time = duration as f64 / 4_294_967_296.0 / hz;
    let h = rules::norm(&rules::displacement(&from, &to));
    let axis = machine.axes()[0];
    let (v, a) = (limit.into(), axis.acceleration_limit.into());
    let off = (time - trapezoid(h, v, a)).abs();
    println!("{h} mm, {time} s, {off:.2e} s off");
    assert!(off <= room(&machine, h, v, a), "{time} s, {off} s off");
}
