//! Two motors on one axis.

use super::axis_outputs::AxisOutputs;
use super::error::MotorError;

/// Two motors that step together on one axis: a gantry with a screw or a belt on each side.
///
/// Each has its own polarity, so the second may be mirrored. Motors count from 0 in errors; a pair
/// may hold a pair, for three screws under one table.
///
/// After an error one side may be a step ahead of the other. A step is little for a gantry to take,
/// but the two sides must be squared anew before the next job.
///
/// ```
/// use embedded_hal::digital::PinState;
/// use spokeshave::pins::{AxisOutputs, Motor, Pair};
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::{ErrorType, OutputPin};
/// # #[derive(Default)]
/// # struct Pin(Vec<bool>);
/// # impl ErrorType for Pin { type Error = Infallible; }
/// # impl OutputPin for Pin {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
/// # }
/// # let [s0, d0, s1, d1] = core::array::from_fn(|_| Pin::default());
/// let mut gantry = Pair {
///     first: Motor::new(s0, d0),
///     second: Motor { forward: PinState::Low, ..Motor::new(s1, d1) }, // mirrored
/// };
/// gantry.direct(true)?;
/// gantry.begin()?;
/// gantry.end()?;
/// assert_eq!(gantry.first.direction.0, [true]);
/// assert_eq!(gantry.second.direction.0, [false]);
/// assert_eq!(gantry.second.step.0, [true, false]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Pair<A, B> {
    /// Motor 0 in errors.
    pub first: A,
    /// The motor after it.
    pub second: B,
}

impl<A, B> AxisOutputs for Pair<A, B>
where
    A: AxisOutputs,
    B: AxisOutputs<Error = A::Error>,
{
    type Error = A::Error;
    const MOTORS: u8 = A::MOTORS + B::MOTORS;

    #[inline]
    fn direct(&mut self, forward: bool) -> Result<(), MotorError<A::Error>> {
        self.first.direct(forward)?;
        let outcome = self.second.direct(forward);
        outcome.map_err(|error| error.after(A::MOTORS))
    }

    #[inline]
    fn begin(&mut self) -> Result<(), MotorError<A::Error>> {
        self.first.begin()?;
        self.second.begin().map_err(|error| error.after(A::MOTORS))
    }

    #[inline]
    fn end(&mut self) -> Result<(), MotorError<A::Error>> {
        let first = self.first.end();
        let second = self.second.end();
        first.and(second.map_err(|error| error.after(A::MOTORS)))
    }
}
