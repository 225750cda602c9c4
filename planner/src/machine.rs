//! A whole machine: its axes, its controller, and the checks of both together.

use crate::axis::{Axis, Fault, Quantity};
use core::fmt;

/// The controller: its timer, and what its drivers ask of a pulse.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Controller {
    /// Rate of the step timer, Hz, 1 000 to 400 000 000.
    pub timer_hz: u32,
    /// Width of a step pulse, s, more than 0 and at most 0.1.
    pub pulse_width: f32,
    /// Shortest time from one step of an axis to its next, s, more than 0 and at most 0.1.
    pub pulse_period: f32,
    /// How long a direction line must stand before a step, s, 0 to 0.1.
    pub direction_setup: f32,
    /// Longest time that one ramp may last, s, 0.000 5 to 0.1; 0.01 suits most. The queue of
    /// pulse trains, each up to 5/4 of this, is the time in which the machine answers to the operator.
    pub ramp_time: f32,
}

/// A machine whose numbers were checked, with `N` axes, 1 to 6.
///
/// ```
/// use spokeshave::{Axis, Controller, Machine};
/// let controller = Controller {
///     timer_hz: 1_000_000,
///     pulse_width: 2e-6,
///     pulse_period: 5e-6,
///     direction_setup: 5e-6,
///     ramp_time: 0.01,
/// };
/// let screw = Axis { steps_per_mm: 400.0, speed_limit: 50.0, acceleration_limit: 300.0 };
/// let machine = Machine::new([screw; 3], controller, 0.02)?;
/// assert_eq!(machine.axes()[0].steps_per_mm, 400.0);
/// # Ok::<(), spokeshave::MachineError>(())
/// ```
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Machine<const N: usize> {
    axes: [Axis; N],
    controller: Controller,
    junction_deviation: f32,
    timing: Timing,
}

/// What the pulse generator needs of the controller, in ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Timing {
    /// From a step to the next step the same way.
    pub same_way: u32,
    /// From a step to the next step the other way.
    pub other_way: u32,
}

/// Why a machine is refused.
///
/// ```
/// use spokeshave::{Axis, Controller, Fault, Machine, MachineError, Quantity};
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// let mut x = Axis { steps_per_mm: 80.0, speed_limit: 100.0, acceleration_limit: -500.0 };
/// let error = Machine::new([x], controller, 0.02).unwrap_err();
/// assert_eq!(error, MachineError::Axis(0, Quantity::AccelerationLimit, Fault::Negative));
/// x = Axis { speed_limit: 2_000.0, steps_per_mm: 400.0, acceleration_limit: 500.0 };
/// assert_eq!(Machine::new([x], controller, 0.02).unwrap_err(), MachineError::StepRate(0));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum MachineError {
    /// A number of an axis (0 is the first) is bad by itself.
    Axis(u8, Quantity, Fault),
    /// A number of the controller, or the junction deviation, is bad by itself.
    Controller(Quantity, Fault),
    /// The speed limit of this axis asks for steps faster than the pulse period allows.
    StepRate(u8),
    /// The pulse is as long as the period, or longer: the step line would never fall.
    PulseWidthPastPeriod,
}

impl fmt::Display for MachineError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Axis(axis, quantity, fault) => {
                write!(
                    f,
                    "axis {axis}: the {quantity} {fault}; give a number in its range"
                )
            }
            Self::Controller(quantity, fault) => {
                write!(f, "the {quantity} {fault}; give a number in its range")
            }
            Self::StepRate(axis) => write!(
                f,
                "axis {axis}: at its speed limit the steps come faster than the pulse period allows; \
                 lower the speed limit or the resolution, or shorten the pulse period"
            ),
            Self::PulseWidthPastPeriod => f.write_str(
                "the pulse width is not shorter than the pulse period; make the pulse narrower",
            ),
        }
    }
}

impl core::error::Error for MachineError {}

impl<const N: usize> Machine<N> {
    /// A machine of these axes and this controller. `junction_deviation` (mm, more than 0, at
    /// most 10) is how far the corner circle may lie from the corner.
    ///
    /// # Errors
    /// The first number that is bad by itself or together with the others.
    pub fn new(
        axes: [Axis; N],
        controller: Controller,
        junction_deviation: f32,
    ) -> Result<Self, MachineError> {
        const { assert!(N >= 1 && N <= 6, "a machine has 1 to 6 axes") }
        for (i, axis) in (0_u8..).zip(&axes) {
            axis.check()
                .map_err(|(quantity, fault)| MachineError::Axis(i, quantity, fault))?;
        }
        for (quantity, value, least, most) in [
            (
                Quantity::JunctionDeviation,
                junction_deviation,
                0.0_f32,
                10.0_f32,
            ),
            (Quantity::Timer, controller.timer_hz as f32, 1e3, 4e8),
            (Quantity::PulseWidth, controller.pulse_width, 0.0, 0.1),
            (Quantity::PulsePeriod, controller.pulse_period, 0.0, 0.1),
            (
                Quantity::DirectionSetup,
                controller.direction_setup,
                0.0,
                0.1,
            ),
            (Quantity::RampTime, controller.ramp_time, 5e-4, 0.1),
        ] {
            // Some drivers read the direction with the step.
            let none = quantity == Quantity::DirectionSetup && value == 0.0;
            let fault = Fault::of(value.into(), f64::from(least), f64::from(most));
            if let Some(fault) = fault.filter(|_| !none) {
                return Err(MachineError::Controller(quantity, fault));
            }
        }
        if controller.pulse_width >= controller.pulse_period {
            return Err(MachineError::PulseWidthPastPeriod);
        }
        let timing = Timing::of(&controller);
        for (i, axis) in (0_u8..).zip(&axes) {
            let rate = f64::from(axis.speed_limit) * axis.steps_per_mm;
            // One part in a million for limits that meet exactly and were rounded on the way.
            if rate * f64::from(timing.same_way) > f64::from(controller.timer_hz) * (1.0 + 1e-6) {
                return Err(MachineError::StepRate(i));
            }
        }
        Ok(Self {
            axes,
            controller,
            junction_deviation,
            timing,
        })
    }

    /// The axes.
    pub fn axes(&self) -> &[Axis; N] {
        &self.axes
    }

    /// The controller.
    pub fn controller(&self) -> &Controller {
        &self.controller
    }

    /// The junction deviation, mm.
    pub fn junction_deviation(&self) -> f32 {
        self.junction_deviation
    }

    pub(crate) fn timing(&self) -> Timing {
        self.timing
    }
}

impl Timing {
    fn of(controller: &Controller) -> Self {
        let ticks = |seconds| whole_ticks(seconds, controller.timer_hz.into());
        let same_way = ticks(controller.pulse_period.into()).max(1);
        // The direction line may change once the pulse before is over.
        let turn = f64::from(controller.pulse_width) + f64::from(controller.direction_setup);
        Self {
            same_way,
            other_way: same_way.max(ticks(turn)),
        }
    }
}

/// `seconds` in ticks, of which `rate` make a second.
///
/// Up to whole ticks: a driver's minimum is kept, never met half. The small part taken off first undoes
/// the rounding of 2e-6 s × 1 MHz, which is 2 ticks and not 3: a number in single precision is off by 2⁻²⁴
/// of itself, 6.0e-8, so that 10 ms at 200 MHz are 2 000 000 ticks, and not one less.
pub(crate) fn whole_ticks(seconds: f64, rate: f64) -> u32 {
    let exact = seconds * rate * (1.0 - 6e-8);
    let whole = exact as u32;
    whole.saturating_add(u32::from(f64::from(whole) < exact))
}
