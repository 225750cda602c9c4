//! `pulses.vcd`, for any stream of pulses that keeps a controller's times: widths, set-up times
//! and steps, as read back by `wellen`.

use super::waveform::{Waves, written};
use proptest::prelude::*;
use spokeshave_sim::machine::Controller;
use spokeshave_sim::motion::{AXES, AXIS_NAMES};
use std::collections::BTreeMap;

/// Timers whose ticks are whole and not whole in decimal units, and short and long set-up times;
/// times in ns.
fn controllers() -> impl Strategy<Value = (Controller, u64, u64)> {
    let rates = vec![
        10_000,
        1_000_000,
        3_000_000,
        16_000_000,
        84_000_000,
        200_000_000,
    ];
    let width = prop::sample::select(vec![50_u64, 1_000, 1_900, 100_000]);
    let setup = prop::sample::select(vec![0_u64, 200, 5_000, 650_000]);
    (prop::sample::select(rates), width, setup).prop_map(|(timer_hz, width, setup)| {
        let controller = Controller {
            timer_hz,
            pulse_width_s: width as f64 * 1e-9,
            pulse_period_s: 2.0 * width as f64 * 1e-9,
            direction_setup_s: setup as f64 * 1e-9,
        };
        (controller, width, setup)
    })
}

/// For each axis, its steps: forward or not, and how many ticks more than needed after the last.
fn steps() -> impl Strategy<Value = [Vec<(bool, u64)>; AXES]> {
    let step = (
        prop::bool::weighted(0.7),
        prop_oneof![0_u64..3, 0_u64..2000],
    );
    let axis = || prop::collection::vec(step.clone(), 0..40);
    [axis(), axis(), axis()]
}

proptest! {
    #[test]
    fn keeps_order_width_and_set_up(
        (controller, width_ns, setup_ns) in controllers(),
        steps in steps(),
    ) {
        let hz = u64::from(controller.timer_hz);
        let ticks_for = |ns: u64| (ns * hz).div_ceil(1_000_000_000);
        // The ticks of each axis, as close as the controller allows, and more.
        let mut pulses = BTreeMap::<u64, [i8; AXES]>::new();
        let mut of_axis = [const { Vec::new() }; AXES];
        for (axis, steps) in steps.iter().enumerate() {
            let (mut tick, mut was_forward) = (ticks_for(setup_ns), true);
            for &(forward, more) in steps {
                tick += more + if forward == was_forward {
                    ticks_for(2 * width_ns)
                } else {
                    ticks_for(2 * width_ns).max(ticks_for(width_ns + setup_ns))
                };
                was_forward = forward;
                pulses.entry(tick).or_default()[axis] = if forward { 1 } else { -1 };
                of_axis[axis].push((tick, forward));
            }
        }
        let pulses: Vec<_> = pulses.into_iter().collect();
        let mut waves = Waves::read(written(&controller, &pulses).unwrap());

        let per_second = waves.per_second();
        let units = |ns: u64| {
            // Every time here is a whole number of units, or the scale would lose something.
            assert_eq!(ns * 1000 % (1_000_000_000_000 / per_second), 0);
            ns * 1000 / (1_000_000_000_000 / per_second)
        };
        for (axis, ticks) in of_axis.iter().enumerate() {
            let step = waves.line(&format!("{}_step", AXIS_NAMES[axis]));
            let direction = waves.line(&format!("{}_direction", AXIS_NAMES[axis]));
            prop_assert_eq!(step[0], (0, false));
            prop_assert_eq!(step.len(), 1 + 2 * ticks.len());
            for (edges, &(tick, forward)) in step[1..].chunks(2).zip(ticks) {
                let (rise, fall) = (edges[0], edges[1]);
                prop_assert!(rise.1 && !fall.1);
                // At its tick, to half a unit; exactly where ticks are whole.
                let exact = u128::from(tick) * u128::from(per_second);
                let error = (u128::from(rise.0) * u128::from(hz)).abs_diff(exact);
                prop_assert!(2 * error <= u128::from(hz));
                prop_assert!(error == 0 || per_second == 1_000_000_000_000);
                prop_assert_eq!(fall.0 - rise.0, units(width_ns));
                // The direction that holds at the step has held for the set-up time.
                let held = direction.iter().rev().find(|change| change.0 <= rise.0).unwrap();
                prop_assert_eq!(held.1, forward);
                prop_assert!(held.0 == 0 || rise.0 - held.0 >= units(setup_ns));
            }
            // The direction never changes during a pulse, and not more often than it must.
            for change in &direction[1..] {
                let during = step[1..].chunks(2).any(|pulse| {
                    (pulse[0].0..pulse[1].0).contains(&change.0) && setup_ns > 0
                });
                prop_assert!(!during);
            }
            let directions: Vec<bool> = ticks.iter().map(|(_, forward)| *forward).collect();
            let start = std::iter::once(true).chain(directions.iter().copied());
            let turns = start.zip(&directions).filter(|(was, is)| was != *is).count();
            prop_assert_eq!(direction.len() - 1, turns);
        }
    }
}
