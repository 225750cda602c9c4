//! Machines of every combination of extremes, and when one must be refused.

use spokeshave::{Axis, Controller, Machine, MachineError};

/// Resolutions, steps/mm: the ends, and a rack of module 1 and a 1/2-10 Acme screw with 200 full steps
/// and 8 microsteps (ISO 54, ASME B1.5).
pub const RESOLUTIONS: [f64; 4] = [1.0, 25.465, 629.921, 20_000.0];
/// Speed limits, mm/s.
pub const SPEEDS: [f32; 4] = [0.01, 1.0, 50.0, 1_000.0];
/// Acceleration limits, mm/s².
pub const ACCELERATIONS: [f32; 3] = [1.0, 300.0, 50_000.0];
/// Timer rates, Hz.
pub const TIMERS: [u32; 3] = [10_000, 1_000_000, 200_000_000];
/// Shortest times between two steps, ticks.
pub const PERIODS: [u32; 2] = [1, 4];

/// Every combination of the axis's numbers.
pub fn axes() -> impl Iterator<Item = Axis> {
    RESOLUTIONS.into_iter().flat_map(|steps_per_mm| {
        SPEEDS.into_iter().flat_map(move |speed_limit| {
            ACCELERATIONS
                .into_iter()
                .map(move |acceleration_limit| Axis {
                    steps_per_mm,
                    speed_limit,
                    acceleration_limit,
                })
        })
    })
}

/// A controller on this timer whose shortest period is so many ticks.
pub fn controller(timer_hz: u32, period: u32) -> Controller {
    let seconds = |ticks: f64| (ticks / f64::from(timer_hz)) as f32;
    Controller {
        timer_hz,
        pulse_width: seconds(0.5 * f64::from(period)),
        pulse_period: seconds(period.into()),
        direction_setup: seconds(0.5 * f64::from(period)),
        ramp_time: 0.01,
    }
}

/// The machine, where it is one; else it was refused for the step rate of an axis that asks for more
/// steps in a second than there are periods, and of no axis before that.
///
/// # Panics
/// Where it is refused for another reason, or taken though it asks for too many steps.
pub fn machine<const N: usize>(
    axes: [Axis; N],
    controller: Controller,
    period: u32,
    deviation: f32,
) -> Option<Machine<N>> {
    let most = f64::from(controller.timer_hz) / f64::from(period);
    let rate = |axis: &Axis| axis.steps_per_mm * f64::from(axis.speed_limit);
    // Limits that meet to one part in a million are taken to meet.
    let too_fast = axes
        .iter()
        .position(|axis| rate(axis) > most * (1.0 + 1e-6));
    match (Machine::new(axes, controller, deviation), too_fast) {
        (Ok(machine), None) => Some(machine),
        (Err(MachineError::StepRate(axis)), Some(first)) => {
            assert_eq!(usize::from(axis), first, "{axes:?} {controller:?}");
            None
        }
        (other, _) => panic!("{other:?}: {axes:?} {controller:?}"),
    }
}
