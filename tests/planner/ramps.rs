//! Ramps keep every limit, join without a jump, end where they should, and always end at rest.

use crate::random::{Caller, Op, Raw, ops, raw, start, starts, with_axes};
use proptest::prelude::*;
use spokeshave::{Axis, Controller, Coordinate, Machine, Planner};
use spokeshave_tests::audit;
use spokeshave_tests::cases::cases;

fn keep_every_limit<const N: usize>(raw: &Raw, from: &[i32; 6], depth: usize, ops: &[Op]) {
    let mut caller = Caller::<N>::new(raw.machine(), start(from), depth);
    for op in ops {
        caller.act(op);
    }
    caller.finish();
    audit::ramps(&caller.job, &caller.ramps);
}

proptest! {
    #![proptest_config(cases(3000))]

    /// Pushing can stop at any operation: a list of random length is as good as any cut.
    #[test]
    fn random_jobs_keep_every_limit(
        axes in 1..=6_usize,
        raw in raw(),
        from in starts(),
        depth in 2..=64_usize,
        ops in ops(60),
    ) {
        with_axes!(axes, keep_every_limit(&raw, &from, depth, &ops));
    }
}

/// A tick of 1 ms and ramps of 0.51 ms: a rise to a slow cap, and the short cruise after it, end no faster
/// than that cap.
#[test]
fn a_tick_as_long_as_a_ramp() {
    let axis = Axis {
        steps_per_mm: 300.0,
        speed_limit: 0.0268,
        acceleration_limit: 12_070.0,
    };
    let controller = Controller {
        timer_hz: 1_056,
        pulse_width: 0.01,
        pulse_period: 0.0975,
        direction_setup: 0.001,
        ramp_time: 5.1e-4,
    };
    let machine = Machine::new([axis], controller, 1.0).unwrap();
    let mut planner: Planner<1, 4> = Planner::new(machine, [Coordinate::ZERO]);
    for count in 1..=2 {
        let to = [Coordinate::from_counts(count)];
        planner.line(to, None, 0).unwrap();
    }
    while let Some(ramp) = planner.next_ramp() {
        // Rounding of the cap and of the rise: see `audit::one`.
        assert!(ramp.exit_speed <= 0.0268 * (1.0 + 2e-6), "{ramp:?}");
    }
}

/// One axis has a 500 000th of the acceleration of the other, and short moves along the strong one turn a
/// little towards it: a bend that leaves nothing of the acceleration at the speed that the machine has when
/// it shows asks for no more braking than the strong axis has.
#[test]
fn brakes_in_time_for_the_bend_of_a_far_weaker_axis() {
    let axis = |steps_per_mm, speed_limit, acceleration_limit| Axis {
        steps_per_mm,
        speed_limit,
        acceleration_limit,
    };
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 0.01,
        pulse_period: 0.1,
        direction_setup: 0.001,
        ramp_time: 5.1e-4,
    };
    let axes = [axis(0.0197, 500.0, 49_999.0), axis(0.09, 0.01, 0.101)];
    let machine = Machine::new(axes, controller, 1.43e-3).unwrap();
    let mut planner: Planner<2, 38> = Planner::new(machine, [Coordinate::ZERO; 2]);
    let mut ramps = Vec::new();
    // 39 moves of one count along x, then 33 of eight, each turned by 0.18° more.
    let (mut x, mut y) = (0, 0);
    for k in 0..72 {
        let turned = (f64::from(k - 38) * 33.0 / 32_767.0 * std::f64::consts::PI).max(0.0);
        let length = if k < 39 { 1.0 } else { 8.05 };
        x += (length * turned.cos()).round() as i32;
        y += (length * turned.sin()).round() as i32;
        while planner.is_full() {
            ramps.extend(planner.next_ramp());
        }
        planner
            .line([x, y].map(Coordinate::from_counts), None, 0)
            .unwrap();
    }
    ramps.extend(std::iter::from_fn(|| planner.next_ramp()));
    for ramp in ramps {
        let change = f64::from((ramp.exit_speed - ramp.entry_speed).abs());
        // x has all of the way, but for 1 %; speeds are rounded to some units in the last place.
        let most = 49_999.0 * 1.01 * ramp.ticks() / 1e6 + 1e-5;
        assert!(change <= most, "{change} mm/s, not {most}: {ramp:?}");
    }
}
