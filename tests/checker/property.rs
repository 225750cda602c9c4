//! Random paths on random machines: clean pulses always pass, and a lost step is always caught.

use crate::clean::assert_clean;
use crate::machines::{RESOLUTIONS, TIMERS, machine, quick};
use crate::maker::{Breach, Job};
use proptest::prelude::*;
use spokeshave_sim::motion::Point;

/// A coordinate as programs have them: three decimals, or none of them round.
fn coordinate(reach: f64) -> impl Strategy<Value = f64> {
    prop_oneof![
        (-reach..reach).prop_map(|x| (x * 1000.0).round() / 1000.0),
        -reach..reach,
        Just(0.0),
    ]
}

/// Points: a walk of long, short and tiny moves, some axes standing still.
fn walk() -> impl Strategy<Value = Vec<Point>> {
    let reach = prop_oneof![Just(20.0), Just(1.0), Just(0.05), Just(0.004)];
    let step = reach.prop_flat_map(|reach| {
        [
            coordinate(reach),
            coordinate(reach),
            coordinate(reach / 4.0),
        ]
    });
    (
        prop::array::uniform3(coordinate(50.0)),
        prop::collection::vec(step, 1..40),
    )
        .prop_map(|(start, steps)| {
            let mut points = vec![start];
            for step in steps {
                let last = points[points.len() - 1];
                points.push(std::array::from_fn(|i| last[i] + step[i]));
            }
            points
        })
}

fn job() -> impl Strategy<Value = Job> {
    let per_mm = prop_oneof![
        prop::sample::select(&RESOLUTIONS[..]),
        Just(500.0),
        5.0..2000.0
    ];
    let machines = (
        per_mm,
        prop::sample::select(&TIMERS[..]),
        50.0..4000.0,
        0.002..0.1,
    );
    let feeds = prop_oneof![Just(None), (1.0..80.0).prop_map(Some)];
    let stops = prop::collection::vec(
        prop_oneof![4 => Just(None), 1 => (0.0..0.05).prop_map(Some)],
        40,
    );
    (walk(), machines, feeds, stops).prop_map(
        |(points, (per_mm, hz, accel, deviation), feed, stops)| {
            let mut machine = machine(per_mm, hz);
            machine.junction_deviation_mm = deviation;
            machine.axes[1].steps_per_mm *= 0.9;
            machine
                .axes
                .iter_mut()
                .for_each(|a| a.acceleration_limit_mm_s2 *= accel / 500.0);
            let mut job = Job::new(machine, &points, feed);
            for (piece, stop) in job.pieces.iter_mut().zip(stops) {
                piece.stop = stop.is_some();
                piece.rest_s = stop.unwrap_or(0.0);
            }
            job
        },
    )
}

/// Where an axis goes, from a step position: steps, and mm on top of them. Mostly within 1.5e-5 mm of
/// where it steps or, turned back, steps again; `None` for an axis that stays.
fn near_a_crossing() -> impl Strategy<Value = Option<(f64, f64)>> {
    let crossings = prop::sample::select(&[0.4375, 0.5, 0.5625, -0.4375, -0.5, -0.5625][..]);
    prop_oneof![
        6 => Just(None),
        3 => (crossings, -1.5e-5..1.5e-5).prop_map(Some),
        2 => (-0.9..0.9).prop_map(|steps| Some((steps, 0.0))),
        1 => (-20.0..20.0).prop_map(|steps| Some((steps, 0.0))),
    ]
}

/// A path that trembles around the step position where it starts.
fn trembling() -> impl Strategy<Value = Job> {
    let corners = prop::collection::vec(prop::array::uniform3(near_a_crossing()), 40);
    (job(), corners).prop_map(|(mut job, corners)| {
        let step = job.machine.axes.map(|axis| 1.0 / axis.steps_per_mm);
        let home: Point = std::array::from_fn(|i| (job.start[i] / step[i]).round() * step[i]);
        job.start = home;
        let mut at = home;
        for (piece, corner) in job.pieces.iter_mut().zip(corners) {
            piece.from = at;
            for (i, goes) in corner.into_iter().enumerate() {
                at[i] = goes.map_or(at[i], |(steps, mm)| home[i] + steps * step[i] + mm);
            }
            piece.to = at;
        }
        job
    })
}

/// Not half-way between two step positions: from there the first step may be part of the start, and
/// a path that trembles right away leaves open which (clean.rs starts half-way on plainer paths).
fn starts_on_a_step(job: &Job) -> bool {
    let part = |i: usize| {
        (job.start[i] * job.machine.axes[i].steps_per_mm)
            .fract()
            .abs()
    };
    (0..3).all(|i| (part(i) - 0.5).abs() > 0.05)
}

/// A job in few words, for a failure.
fn brief(job: &Job) -> String {
    let machine = &job.machine;
    let ends = job
        .pieces
        .iter()
        .map(|p| format!("{:?} {:?} {}", p.to, p.feed, p.rest_s));
    format!(
        "{:?} δ {} {:?} from {:?}: {}",
        machine.controller,
        machine.junction_deviation_mm,
        machine
            .axes
            .map(|axis| (axis.steps_per_mm, axis.acceleration_limit_mm_s2)),
        job.start,
        ends.collect::<Vec<_>>().join("; ")
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: if quick() { 30 } else { 300 }, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn clean_pulses_pass(job in job()) {
        prop_assume!(starts_on_a_step(&job));
        assert_clean(&job.run(&Breach::default()), &brief(&job));
    }

    // The way home at the end is far from any half-way point of these machines, so that the end
    // position of no axis is in doubt.
    #[test]
    fn a_lost_step_is_caught(mut job in job(), which in any::<prop::sample::Index>()) {
        let home = job.machine.axes.map(|axis| 60.25 / axis.steps_per_mm);
        let last = job.pieces[job.pieces.len() - 1].clone();
        job.pieces.push(spokeshave_sim::check::Piece { from: last.to, to: home, ..last });
        prop_assume!(starts_on_a_step(&job));
        let mut steps = job.steps(&Breach::default());
        prop_assume!(!steps.is_empty());
        let lost = steps.remove(which.index(steps.len()));
        let report = job.check(&steps);
        prop_assert!(report.failures().any(|check| check.name == "steps"), "{lost:?}, {}", brief(&job));
    }
}

proptest! {
    // Short paths, and each of their corners is a chance.
    #![proptest_config(ProptestConfig { cases: if quick() { 300 } else { 3000 }, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn clean_pulses_of_a_trembling_path_pass(job in trembling()) {
        assert_clean(&job.run(&Breach::default()), &brief(&job));
    }
}
