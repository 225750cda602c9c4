//! What must hold of the pulses of any job.

use crate::crossing::{Crossing, Follower};
use spokeshave::{Machine, Point, Pulse, Ramp};

/// Whole ticks of a time that a driver asks for; a machine's numbers are single precision.
fn ticks(machine_hz: u32, seconds: f64) -> u64 {
    (seconds * f64::from(machine_hz) * (1.0 - 6e-8)).ceil() as u64
}

/// Checks `pulses` against the exact crossings of `ramps`; returns how many were late, and the worst
/// of them, ticks.
///
/// # Panics
/// Where a pulse is missing, too many, too soon after the last, early, or late without need.
pub fn check<const N: usize>(
    machine: &Machine<N>,
    from: &Point<N>,
    ramps: &[Ramp<N>],
    pulses: &[Pulse],
) -> (u32, f64) {
    let mut follower = Follower::new(machine, from);
    let mut exact: [Vec<Crossing>; N] = std::array::from_fn(|_| Vec::new());
    for ramp in ramps {
        follower.ramp(ramp, &mut exact);
    }
    let controller = machine.controller();
    let same = ticks(controller.timer_hz, controller.pulse_period.into());
    let turn = f64::from(controller.pulse_width) + f64::from(controller.direction_setup);
    let other = ticks(controller.timer_hz, turn).max(same);

    let mut done = [0_usize; N];
    let mut last: [Option<(u64, i8)>; N] = [None; N];
    let mut before = 0_u64;
    // The pulse there was late itself, so that later ones may have to be.
    let mut held_up = false;
    let mut late = (0, 0.0_f64);
    for pulse in pulses {
        assert!(pulse.tick >= before, "pulses out of order: {pulse:?}");
        assert!(
            pulse.steps != 0 && pulse.forward & !pulse.steps == 0,
            "{pulse:?}"
        );
        let mut late_now = held_up && pulse.tick == before;
        for axis in 0..N {
            let way = pulse.step(axis);
            if way == 0 {
                continue;
            }
            let crossing = exact[axis].get(done[axis]).expect("a pulse too many");
            done[axis] += 1;
            assert_eq!(way, crossing.way, "axis {axis}: {pulse:?}");
            let mut earliest = if held_up { before } else { 0 };
            if let Some((made, last_way)) = last[axis] {
                let gap = if last_way == way { same } else { other };
                assert!(pulse.tick >= made + gap, "axis {axis} too soon: {pulse:?}");
                earliest = earliest.max(made + gap);
            }
            last[axis] = Some((pulse.tick, way));
            let off = pulse.tick as f64 - crossing.tick;
            assert!(
                off >= -1.0 - crossing.slack,
                "axis {axis} early: {pulse:?} {crossing:?}"
            );
            if off > 1.0 + crossing.slack {
                late_now = true;
                // Late is only what a driver's minimum makes so, or a pulse before that had to be late.
                assert_eq!(
                    pulse.tick, earliest,
                    "axis {axis} late by {off}: {crossing:?}"
                );
            }
            // A tick late, seen from a tick that was rounded by 0.5 and computed to 0.3, is not
            // counted: rounding does it where ramps meet and where steps are as fast as may be.
            // (0.3: a cubic through four places is off by 1/8, and hands on an error of theirs, up to
            // 0.1 in a ramp of 2¹⁸ ticks, 1.63-fold: the Lebesgue constant of four even places.)
            if off > 1.8 + crossing.slack {
                late = (late.0 + 1, late.1.max(off));
            }
        }
        (before, held_up) = (pulse.tick, late_now);
    }
    for axis in 0..N {
        assert_eq!(
            done[axis],
            exact[axis].len(),
            "axis {axis}: pulses are missing"
        );
        let off = (follower.steps()[axis] << 32) - follower.position()[axis];
        assert!(
            off.abs() <= 9 << 28,
            "axis {axis} ends more than 9/16 step off"
        );
    }
    late
}
