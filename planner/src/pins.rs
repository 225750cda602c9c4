//! Step and direction outputs on `embedded-hal` pins.

use crate::pulse::Pulse;
use embedded_hal::digital::{OutputPin, PinState};

/// The outputs of one axis.
///
/// ```
/// use spokeshave::{Pulse, pins::AxisPins};
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::{ErrorType, OutputPin};
/// # #[derive(Default)]
/// # struct Pin(Vec<bool>);
/// # impl ErrorType for Pin { type Error = Infallible; }
/// # impl OutputPin for Pin {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
/// # }
/// let mut x = AxisPins::new(Pin::default(), Pin::default());
/// let pulse = Pulse { tick: 0, steps: 1, forward: 1 };
/// x.begin(0, &pulse)?; // direction, then the rising edge
/// x.end()?; // one pulse width later
/// assert_eq!(x.release().0.0, [true, false]);
/// # Ok::<(), Infallible>(())
/// ```
#[derive(Debug)]
pub struct AxisPins<S, D> {
    step: S,
    direction: D,
    /// The level of the step pin during a pulse.
    pub active: PinState,
    /// The level of the direction pin where the position grows.
    pub forward: PinState,
}

impl<S, D, E> AxisPins<S, D>
where
    S: OutputPin<Error = E>,
    D: OutputPin<Error = E>,
{
    /// Step pulses are high and the position grows with the direction pin high; set the fields
    /// for a driver that is wired otherwise.
    pub fn new(step: S, direction: D) -> Self {
        Self {
            step,
            direction,
            active: PinState::High,
            forward: PinState::High,
        }
    }

    /// Begins the step of axis `axis`, where `pulse` has one: the direction, then the edge. The
    /// caller sees to the set-up time between, where its pins are faster than its driver.
    ///
    /// # Errors
    /// What a pin returns; the step was not begun then.
    pub fn begin(&mut self, axis: usize, pulse: &Pulse) -> Result<(), E> {
        match pulse.step(axis) {
            0 => Ok(()),
            way => {
                let level = if way > 0 { self.forward } else { !self.forward };
                self.direction.set_state(level)?;
                self.step.set_state(self.active)
            }
        }
    }

    /// Ends the pulse, one pulse width after it began.
    ///
    /// # Errors
    /// What the pin returns.
    pub fn end(&mut self) -> Result<(), E> {
        self.step.set_state(!self.active)
    }

    /// Gives the pins back.
    pub fn release(self) -> (S, D) {
        (self.step, self.direction)
    }
}
