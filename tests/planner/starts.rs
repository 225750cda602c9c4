//! A machine that stood goes on.

use spokeshave::{Controller, Machine, Planner};
use spokeshave_tests::exact::{self, mm};
use spokeshave_tests::machines::QUICK;
use spokeshave_tests::run::Pulses;

/// A job that runs dry and goes on: steps are made from the new start on, none is lost, and a
/// start that comes too early changes nothing.
#[test]
fn a_job_goes_on_after_it_ran_dry() {
    let machine = spokeshave_tests::machines::belts();
    let start = mm([0.3, -0.7, 0.1]);
    let mut planner: Planner<3, 8> = Planner::new(machine, start);
    let mut pulses = Pulses::new(&machine, start);
    let mut now = 0;
    for k in 1..=50_u32 {
        let t = f64::from(k);
        let to = mm([3.0 * t.sin(), 2.0 * (1.7 * t).cos(), 0.4 * (0.3 * t).sin()]);
        planner.line(to, Some(60.0), k).unwrap();
        let mut duration = 0;
        let mut soonest = u64::MAX;
        let mut latest = 0;
        while let Some(pulse) = pulses.next(&mut || {
            let ramp = planner.next_ramp();
            duration += ramp.map_or(0, |ramp| ramp.duration);
            ramp
        }) {
            let generator = &mut pulses.generator;
            // In the middle of a ramp this is no start, nor at a time gone by.
            generator.start_at(if k % 2 == 0 { generator.end_tick() } else { 0 });
            soonest = soonest.min(pulse.tick);
            latest = latest.max(pulse.tick);
        }
        let end = now + duration.div_ceil(1 << 32);
        assert!(
            now <= soonest && latest <= end,
            "{k}: {soonest} {latest} not in {now} {end}"
        );
        let exact = exact::position(&machine, &to);
        for (position, exact) in pulses.generator.position().iter().zip(exact) {
            let off = (i64::from(*position) << 32) - exact;
            assert!(off.abs() <= (9 << 28) + 1, "{k}: {off}");
        }
        now = pulses.generator.end_tick() + 12_345;
        pulses.generator.start_at(now);
        assert_eq!(pulses.generator.end_tick(), now);
    }
}

/// However long the machine stood, up to 2⁴⁰ ticks and across every place where 32 bits wrap or change
/// their sign: the next steps come as soon after the start as ever, and none is late.
#[test]
fn a_long_rest_sets_no_time_for_the_next_step() {
    let controller = Controller {
        timer_hz: 10_000_000,
        pulse_width: 2e-6,
        pulse_period: 5e-6,
        direction_setup: 0.001,
        ramp_time: 0.01,
    };
    let machine = Machine::new([QUICK], controller, 0.02).unwrap();
    // As the machine waits for a program, or as the program makes it rest.
    let after = |rest: u64, by_program: bool| {
        let mut planner: Planner<1, 4> = Planner::new(machine, mm([0.0]));
        let mut pulses = Pulses::new(&machine, mm([0.0]));
        let mut begin = 0;
        let mut ticks = Vec::new();
        for k in 1..=4 {
            planner.line(mm([0.1 * f64::from(k % 2)]), None, 0).unwrap();
            while let Some(pulse) = pulses.next(&mut || planner.next_ramp()) {
                ticks.push(pulse.tick - begin);
            }
            if by_program {
                planner.rest(rest as f32 / 1e7, 0).unwrap();
                assert!(pulses.next(&mut || planner.next_ramp()).is_none());
                begin = pulses.generator.end_tick();
            } else {
                begin = pulses.generator.end_tick() + rest;
                pulses.generator.start_at(begin);
            }
        }
        assert_eq!(pulses.generator.lateness().steps, 0, "{rest}");
        ticks
    };
    // The set-up time is over by then.
    let soon = after(20_000, false);
    assert_eq!(soon.len(), 40);
    for bits in [15, 26, 27, 28, 29, 30, 31, 32, 33, 40] {
        for more in [-10_000_i64, -1, 0, 1, 10_000] {
            let late = after((1_u64 << bits).saturating_add_signed(more), false);
            // A start is at a whole tick, so the ramps begin at the same part of one.
            assert_eq!(late, soon, "{bits} {more}");
        }
    }
    for part in 1..=16 {
        assert_eq!(after(part << 28, true), soon, "{part}");
    }
}
