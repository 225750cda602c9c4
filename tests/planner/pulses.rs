//! Every pulse within one tick of its exact time, none missing, none too many.

use crate::random::{Caller, Op, Raw, ops, raw, start, starts, with_axes};
use proptest::prelude::*;
use spokeshave::{Axis, Controller, Coordinate, Lateness, Machine, Planner};
use spokeshave_tests::cases::cases;
use spokeshave_tests::exact::{self, mm};
use spokeshave_tests::machines::QUICK;
use spokeshave_tests::pulse_audit::check;
use spokeshave_tests::run::{self, Pulses};

fn are_exact<const N: usize>(raw: &Raw, from: &[i32; 6], depth: usize, ops: &[Op]) {
    let machine: Machine<N> = raw.machine();
    let from = start(from);
    let mut caller = Caller::new(machine, from, depth);
    for op in ops {
        caller.act(op);
    }
    caller.finish();
    let mut pulses = Pulses::new(&machine, from);
    let made = pulses.all(&caller.ramps);
    let (late, worst) = check(&machine, &from, &caller.ramps, &made);
    let counted = pulses.generator.lateness();
    // The generator counts from its rounded tick, up to 0.8 off: see the audit.
    assert!(counted.steps >= late, "{counted:?}, {late} seen");
    assert!((f64::from(counted.worst) - worst).abs() <= 0.8 || worst == 0.0 && counted.worst <= 2);
}

proptest! {
    #![proptest_config(cases(3000))]

    #[test]
    fn random_jobs_have_exact_pulses(
        axes in 1..=6_usize,
        raw in raw(),
        from in starts(),
        depth in 2..=64_usize,
        ops in ops(30),
    ) {
        with_axes!(axes, are_exact(&raw, &from, depth, &ops));
    }
}

/// A direction set-up of 30 ms makes steps late at every reversal; they are counted, and made.
#[test]
fn late_steps_are_counted_and_never_dropped() {
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 0.03,
        ramp_time: 0.01,
    };
    let machine = Machine::new([QUICK; 2], controller, 0.02).unwrap();
    let mut planner: Planner<2, 16> = Planner::new(machine, mm([0.0; 2]));
    let mut pulses = Pulses::new(&machine, mm([0.0; 2]));
    let mut ramps = Vec::new();
    let turns = 20;
    for k in 1..=turns {
        let to = mm([f64::from(k % 2), 0.1 * f64::from(k)]);
        planner.line(to, None, 0).unwrap();
        ramps.extend(std::iter::from_fn(|| planner.next_ramp()));
    }
    let made = pulses.all(&ramps);
    let (late, worst) = check(&machine, &mm([0.0; 2]), &ramps, &made);
    let counted = pulses.generator.lateness();
    // The first step back is half a step from the turn: √(2·0.005 mm/2 000 mm/s²) is 2 ms, and
    // 30 ms and more are asked for, each time but the first.
    assert!(late >= turns - 1 && worst > 25_000.0, "{late} {worst}");
    assert!(counted.steps >= late && (f64::from(counted.worst) - worst).abs() <= 0.8);
    assert_eq!(pulses.generator.position(), [0, 10 * turns as i32]);
}

/// Drivers that take 0.1 s to turn, on the fastest timer, and turns that leave them a millisecond:
/// lateness adds up to more than 32 bits of ticks, and still no step is lost or comes too soon (a
/// millionth part is what the machine takes for rounding).
#[test]
fn lateness_without_end_loses_nothing() {
    let controller = Controller {
        timer_hz: 400_000_000,
        pulse_width: 1e-6,
        pulse_period: 5e-6,
        direction_setup: 0.1,
        ramp_time: 0.000_5,
    };
    let machine = Machine::new([QUICK], controller, 0.02).unwrap();
    let mut planner: Planner<1, 4> = Planner::new(machine, mm([0.0]));
    let mut pulses = Pulses::new(&machine, mm([0.0]));
    let (turns, mut made) = (200_u32, 0);
    let mut last: Option<(u64, i8)> = None;
    for k in 1..=turns {
        planner
            .line(mm([0.01 * f64::from(k % 2)]), None, 0)
            .unwrap();
        while let Some(pulse) = pulses.next(&mut || planner.next_ramp()) {
            let way = pulse.step(0);
            if let Some((tick, before)) = last {
                assert!(
                    way == -before && pulse.tick >= tick + 40_000_360,
                    "{k}: {tick} {before} {pulse:?}"
                );
            }
            last = Some((pulse.tick, way));
            made += 1;
        }
    }
    assert_eq!((made, pulses.generator.position()), (turns, [0]));
    assert!(u64::from(pulses.generator.lateness().worst) > 1 << 30);
}

/// A million moves, ten million steps: there and back, with a resolution that no binary number
/// holds (a ball screw of 5 mm, 2 000 steps a turn, geared 7 to 3), end where they began, and
/// within 9/16 step of every place of rest between.
#[test]
fn a_long_job_does_not_drift() {
    let steps_per_mm = 2_000.0 / 5.0 * 7.0 / 3.0;
    let axis = Axis {
        steps_per_mm,
        speed_limit: 150.0,
        acceleration_limit: 3_000.0,
    };
    let controller = Controller {
        timer_hz: 10_000_000,
        pulse_width: 1e-6,
        pulse_period: 2e-6,
        direction_setup: 1e-6,
        ramp_time: 0.01,
    };
    let machine = Machine::new([axis; 2], controller, 0.02).unwrap();
    // Odd counts, so that nearly no target lies on a step.
    let mut at = [1_234_567_i32, -7_654_321];
    let point = |at: [i32; 2]| at.map(Coordinate::from_counts);
    let start = at;
    let mut planner: Planner<2, 32> = Planner::new(machine, point(at));
    let mut pulses = Pulses::new(&machine, point(at));
    let (moves, legs) = (1_000_000_u32, 100);
    let each = moves / legs;
    let (mut steps, mut duration, mut late) = (0_u64, 0_u128, 0);
    for leg in 0..legs {
        let sign = if leg % 2 == 0 { 1 } else { -1 };
        let mut done = 0;
        let mut source = || {
            while done < each && !planner.is_full() {
                // There and back the same way, so that the end is known to the last digit.
                let k = if sign > 0 { done } else { each - 1 - done };
                at[0] += sign * (997 + (k % 61) as i32);
                at[1] += sign * (613 - (k % 7) as i32);
                planner.line(point(at), Some(140.0), k).unwrap();
                done += 1;
            }
            let ramp = planner.next_ramp();
            duration += ramp.map_or(0, |ramp| u128::from(ramp.duration));
            ramp
        };
        while let Some(pulse) = pulses.next(&mut source) {
            steps += u64::from(pulse.steps.count_ones());
        }
        let exact = exact::position(&machine, &point(at));
        for (axis, (at, exact)) in pulses.generator.position().iter().zip(exact).enumerate() {
            let off = (i64::from(*at) << 32) - exact;
            // 1/2³² for the rounding of the scale.
            assert!(off.abs() <= (9 << 28) + 1, "leg {leg} axis {axis}: {off}");
        }
        late += pulses.generator.lateness().steps;
        assert_eq!(
            u128::from(pulses.generator.end_tick()),
            duration >> 32,
            "leg {leg}"
        );
    }
    assert_eq!(at, start);
    assert_eq!(late, 0);
    assert!(steps > 10_000_000, "{steps}");
}

/// Near 10 m, at 1 600 steps/mm, moves of 10 µm keep their direction to 2e-3 rad and their
/// targets to 1/32 step (design).
#[test]
fn small_moves_far_out_keep_direction_and_target() {
    let axis = Axis {
        steps_per_mm: 1_600.0,
        speed_limit: 50.0,
        acceleration_limit: 300.0,
    };
    let controller = Controller {
        timer_hz: 1_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 5e-6,
        ramp_time: 0.01,
    };
    let machine = Machine::new([axis; 2], controller, 0.02).unwrap();
    for far in [[9_999.9, 9_999.9], [-9_999.9, 9_999.9], [-9_999.9, -0.003]] {
        let mut at = far;
        let mut planner: Planner<2, 8> = Planner::new(machine, mm(at));
        let mut position = exact::position(&machine, &mm(at));
        for k in 0..720 {
            let angle = f64::from(k).to_radians() / 2.0;
            let to = [at[0] + 0.01 * angle.cos(), at[1] + 0.01 * angle.sin()];
            planner.line(mm(to), None, 0).unwrap();
            let before = position;
            while let Some(ramp) = planner.next_ramp() {
                position = [0, 1].map(|i| position[i] + ramp.steps[i]);
            }
            let way = [0, 1].map(|i| (position[i] - before[i]) as f64);
            let turn = (way[1].atan2(way[0]) - angle).sin().abs();
            assert!(turn <= 2e-3, "{far:?} {k}: {turn} rad");
            for i in 0..2 {
                let off = position[i] as f64 / 4_294_967_296.0 - to[i] * 1_600.0;
                assert!(off.abs() <= 1.0 / 32.0, "{far:?} {k} axis {i}: {off} step");
            }
            at = to;
        }
    }
}

/// Steps exactly as fast as the driver takes them: 200 000 a second, 5 ticks each, for 20 s.
#[test]
fn the_fastest_rate_keeps_the_period() {
    let machine = spokeshave_tests::machines::single(1_000_000, 2_000.0, 100.0, 1_000.0);
    let mut job = spokeshave_tests::job::Job::new(machine, mm([0.0]));
    job.line(mm([2_000.0]), None, false);
    let ramps = run::ramps::<1, 2>(&job, 2);
    let mut pulses = Pulses::new(&machine, job.start);
    let made = pulses.all(&ramps);
    // None comes too soon, each is within a tick of its time, and so none is late.
    assert_eq!(check(&machine, &job.start, &ramps, &made), (0, 0.0));
    assert_eq!(pulses.generator.lateness(), Lateness::default());
    assert_eq!(made.len(), 4_000_000);
}
