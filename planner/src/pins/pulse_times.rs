//! The times of a pulse, in ticks.

use crate::machine::{Controller, Machine, whole_ticks};

/// The least times that a [`Bank`](super::Bank) keeps, in ticks of the step timer.
///
/// A direction line never changes during a pulse, so where the driver asks for a hold time after the
/// step edge, make the pulse at least that wide.
///
/// ```
/// use spokeshave::pins::PulseTimes;
/// # use spokeshave::{Axis, Controller, Machine};
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let controller = Controller {
///     timer_hz: 1_000_000, pulse_width: 1.9e-6, pulse_period: 5e-6, direction_setup: 0.65e-6,
///     ramp_time: 0.01,
/// };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// assert_eq!(PulseTimes::of(&machine), PulseTimes { width: 3, setup: 2, low: 3 });
/// # Ok::<(), spokeshave::MachineError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PulseTimes {
    /// From the step edge to the end of the pulse.
    pub width: u32,
    /// From a change of direction to the step edge.
    pub setup: u32,
    /// From the end of a pulse to the next step edge of the same axis.
    pub low: u32,
}

impl PulseTimes {
    /// The times of this machine's controller, up to whole ticks. An edge lies somewhere in the tick
    /// that the timer shows, so a time in full takes one tick more; `low` is what that leaves of the
    /// period, likewise one tick more, and at least one tick. An axis that steps once in every period
    /// is thus too fast for a [`Bank`](super::Bank): leave two ticks.
    pub fn of<const N: usize>(machine: &Machine<N>) -> Self {
        let controller = machine.controller();
        let times = Self::counted(controller, controller.timer_hz.into());
        Self {
            width: times.width + 1,
            setup: times.setup + u32::from(times.setup > 0),
            low: times.low,
        }
    }

    /// The same in ns.
    pub(super) fn in_ns<const N: usize>(machine: &Machine<N>) -> Self {
        Self::counted(machine.controller(), 1e9)
    }

    /// The times in units of which `rate` make a second.
    fn counted(controller: &Controller, rate: f64) -> Self {
        let up = |seconds: f32| whole_ticks(seconds.into(), rate);
        let width = up(controller.pulse_width).max(1);
        // Not the low time rounded by itself: both rounded up would be longer than the period, and
        // an axis at its speed limit would fall behind.
        let low = up(controller.pulse_period).saturating_sub(width).max(1);
        Self {
            width,
            setup: up(controller.direction_setup),
            low,
        }
    }
}
