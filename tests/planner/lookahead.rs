//! The look-ahead against the textbook's two passes over all junctions.

use crate::random::{Caller, Op, Raw, ops, raw, start, starts, with_axes};
use proptest::prelude::*;
use spokeshave::{Axis, Controller, Coordinate, Machine, PlanError, Planner, Point};
use spokeshave_tests::cases::cases;
use spokeshave_tests::exact::mm;
use spokeshave_tests::job::Job;
use spokeshave_tests::{audit, run};

fn is_largest<const N: usize>(raw: &Raw, from: &[i32; 6], depth: usize, ops: &[Op]) {
    let mut caller = Caller::<N>::new(raw.machine(), start(from), 64);
    caller.planner.leave_out_bends();
    for op in ops.iter().filter(|op| !matches!(op, Op::Take(_))) {
        caller.act(op);
    }
    // Nothing was taken yet: the queue held it all.
    assert!(caller.ramps.is_empty());
    caller.finish();
    audit::is_largest(&caller.job, &caller.ramps, 64);
    // The same moves through a shorter queue, without the rests.
    let ramps = run::ramps_of_corners::<N, 64>(&caller.job, depth);
    audit::ramps(&caller.job, &ramps);
    audit::is_largest(&caller.job, &ramps, depth);
    // Bends only slow it, and all the other rules hold.
    let eased = run::ramps::<N, 64>(&caller.job, depth);
    audit::ramps(&caller.job, &eased);
    let time = |ramps| audit::time(caller.job.machine.controller().timer_hz, ramps);
    let (eased, alone) = (time(&eased), time(&ramps));
    assert!(eased >= alone * (1.0 - 1e-4), "{eased} {alone}");
}

proptest! {
    #![proptest_config(cases(3000))]

    #[test]
    fn a_queue_makes_the_largest_plan_of_random_moves(
        axes in 1..=6_usize,
        raw in raw(),
        from in starts(),
        depth in 2..=64_usize,
        ops in ops(64),
    ) {
        with_axes!(axes, is_largest(&raw, &from, depth, &ops));
    }
}

const CONTROLLER: Controller = Controller {
    timer_hz: 1_000_000,
    pulse_width: 2e-6,
    pulse_period: 5e-6,
    direction_setup: 5e-6,
    ramp_time: 0.01,
};

/// Short chords along a wave, with feeds that alternate: the braking distance is longer than the
/// queue, so that every move that comes in changes the bound of all the junctions before it.
fn wave(count: u32) -> Job<3> {
    let axis = Axis {
        steps_per_mm: 80.0,
        speed_limit: 200.0,
        acceleration_limit: 100.0,
    };
    let machine = Machine::new([axis; 3], CONTROLLER, 0.02).unwrap();
    let mut job = Job::new(machine, mm([0.0; 3]));
    let chord = 0.05;
    for k in 1..=count {
        let t = f64::from(k) * chord;
        // Every so often a place that must be slow.
        let feed = if k % 97 == 0 {
            20.0
        } else {
            180.0 + f64::from(k % 3)
        };
        let to = mm([t, 3.0 * (t / 40.0).sin(), 0.5 * (t / 70.0).cos() - 0.5]);
        job.line(to, Some(feed as f32), false);
    }
    job
}

#[test]
fn a_full_queue_makes_the_largest_plan_of_any_number_of_moves() {
    for count in [1, 2, 3, 17, 64, 300, 1023, 1024] {
        let job = wave(count);
        let ramps = run::ramps_of_corners::<3, 1024>(&job, 1024);
        audit::ramps(&job, &ramps);
        audit::is_largest(&job, &ramps, 1024);
    }
}

#[test]
fn a_queue_that_is_refilled_makes_the_largest_plan_of_what_it_sees() {
    let job = wave(3000);
    for depth in [2, 3, 8, 33, 256, 1024] {
        let ramps = run::ramps_of_corners::<3, 1024>(&job, depth);
        audit::ramps(&job, &ramps);
        audit::is_largest(&job, &ramps, depth);
    }
}

/// Six axes at 2 000 mm/s make 4 899 mm/s along the path, the fastest that a machine can go.
#[test]
fn the_fastest_machine_is_not_held_back_at_a_straight_join() {
    let axis = Axis {
        steps_per_mm: 10.0,
        speed_limit: 2_000.0,
        acceleration_limit: 50_000.0,
    };
    let machine = Machine::new([axis; 6], CONTROLLER, 0.02).unwrap();
    let mut job = Job::new(machine, mm([0.0; 6]));
    for k in 1..=4 {
        job.line(mm([100.0 * f64::from(k); 6]), None, false);
    }
    let ramps = run::ramps_of_corners::<6, 8>(&job, 8);
    audit::ramps(&job, &ramps);
    audit::is_largest(&job, &ramps, 8);
    let top = ramps.iter().map(|ramp| ramp.exit_speed).fold(0.0, f32::max);
    assert!(
        (f64::from(top) - 2_000.0 * 6_f64.sqrt()).abs() < 0.01,
        "{top}"
    );
}

/// A queue of the largest capacity whose sums are as large as can be: no overflow.
#[test]
fn the_largest_queue_keeps_its_sums() {
    std::thread::Builder::new()
        .stack_size(64 << 20)
        .spawn(|| {
            let axis = Axis {
                steps_per_mm: 10.0,
                speed_limit: 2_000.0,
                acceleration_limit: 50_000.0,
            };
            let machine = Machine::new([axis; 2], CONTROLLER, 0.02).unwrap();
            let far = Coordinate::from_mm(16_000.0).unwrap();
            let mut job = Job::new(machine, [Coordinate::ZERO; 2]);
            for k in 0..40_000 {
                let to: Point<2> = if k % 2 == 0 {
                    [far; 2]
                } else {
                    [Coordinate::ZERO; 2]
                };
                job.line(to, None, false);
            }
            let mut planner: Box<Planner<2, 16_384>> = Box::new(Planner::new(machine, job.start));
            for (tag, next) in (0..).zip(&job.moves) {
                while planner.line(next.to, next.feed, tag) == Err(PlanError::Full) {
                    let mut seconds = 0.0;
                    // One move: 22 627 mm at 2 828 mm/s, and the time to speed up and brake.
                    while let Some(ramp) = planner.next_ramp() {
                        seconds += ramp.ticks() / 1e6;
                        if ramp.ends_move {
                            break;
                        }
                    }
                    let exact = 8.0 + 2_000.0 / 50_000.0;
                    assert!((seconds - exact).abs() < 1e-3, "{seconds}");
                }
            }
        })
        .unwrap()
        .join()
        .unwrap();
}
