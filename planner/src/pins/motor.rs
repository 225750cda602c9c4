//! The two lines of one motor driver.

use super::axis_outputs::AxisOutputs;
use super::error::{Line, MotorError};
use embedded_hal::digital::{OutputPin, PinState};

/// The step line and the direction line of one driver. It is an axis by itself; two of them in a
/// [`Pair`](super::Pair) are one axis too.
///
/// ```
/// use embedded_hal::digital::PinState;
/// use spokeshave::pins::{AxisOutputs, Motor};
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::{ErrorType, OutputPin};
/// # #[derive(Default)]
/// # struct Pin(Vec<bool>);
/// # impl ErrorType for Pin { type Error = Infallible; }
/// # impl OutputPin for Pin {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
/// # }
/// let motor = Motor::new(Pin::default(), Pin::default());
/// let mut x = Motor { active: PinState::Low, ..motor }; // opto-couplers that light on low
/// x.direct(true)?;
/// x.begin()?;
/// x.end()?; // one pulse width later
/// let (step, direction) = x.release();
/// assert_eq!((step.0, direction.0), (vec![false, true], vec![true]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Motor<S, D> {
    /// The step pin.
    pub step: S,
    /// The direction pin.
    pub direction: D,
    /// The level of the step pin during a pulse. The edge to it makes the step.
    pub active: PinState,
    /// The level of the direction pin with which the position grows.
    pub forward: PinState,
}

impl<S, D> Motor<S, D> {
    /// Pulses are high, and the position grows with the direction pin high; set the fields for a
    /// driver that is wired otherwise. No pin is touched.
    pub fn new(step: S, direction: D) -> Self {
        Self {
            step,
            direction,
            active: PinState::High,
            forward: PinState::High,
        }
    }

    /// Gives the pins back: step, direction.
    pub fn release(self) -> (S, D) {
        (self.step, self.direction)
    }
}

impl<S, D, E> AxisOutputs for Motor<S, D>
where
    S: OutputPin<Error = E>,
    D: OutputPin<Error = E>,
{
    type Error = E;
    const MOTORS: u8 = 1;

    #[inline]
    fn direct(&mut self, forward: bool) -> Result<(), MotorError<E>> {
        let level = if forward { self.forward } else { !self.forward };
        let outcome = self.direction.set_state(level);
        outcome.map_err(|cause| MotorError::of(Line::Direction, cause))
    }

    #[inline]
    fn begin(&mut self) -> Result<(), MotorError<E>> {
        let outcome = self.step.set_state(self.active);
        outcome.map_err(|cause| MotorError::of(Line::Step, cause))
    }

    #[inline]
    fn end(&mut self) -> Result<(), MotorError<E>> {
        let outcome = self.step.set_state(!self.active);
        outcome.map_err(|cause| MotorError::of(Line::Step, cause))
    }
}
