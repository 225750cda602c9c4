//! What the outputs of one axis can do.

use super::error::MotorError;

/// The outputs of one axis: [`Motor`](super::Motor), [`Pair`](super::Pair), or your own, such as a
/// driver on a bus.
///
/// ```
/// use core::convert::Infallible;
/// use spokeshave::pins::{AxisOutputs, Lines, MotorError};
/// /// No motor: it counts.
/// #[derive(Default)]
/// struct Counter { way: i32, steps: i32 }
/// impl AxisOutputs for Counter {
///     type Error = Infallible;
///     const MOTORS: u8 = 1;
///     fn direct(&mut self, forward: bool) -> Result<(), MotorError<Infallible>> {
///         self.way = if forward { 1 } else { -1 };
///         Ok(())
///     }
///     fn begin(&mut self) -> Result<(), MotorError<Infallible>> {
///         self.steps += self.way;
///         Ok(())
///     }
///     fn end(&mut self) -> Result<(), MotorError<Infallible>> { Ok(()) }
/// }
/// let mut lines = Lines::new([Counter::default(), Counter::default()]);
/// let pulse = spokeshave::Pulse { tick: 0, steps: 0b10, forward: 0 };
/// lines.direct(&pulse).unwrap();
/// lines.begin(&pulse).unwrap();
/// lines.end().unwrap();
/// assert_eq!(lines.release().map(|axis| axis.steps), [0, -1]);
/// ```
pub trait AxisOutputs {
    /// The error of its pins.
    type Error;
    /// How many motors it drives.
    const MOTORS: u8;

    /// Sets the direction of all its motors; `forward`: the position grows.
    ///
    /// # Errors
    /// The first pin that failed; motors after it were not set.
    fn direct(&mut self, forward: bool) -> Result<(), MotorError<Self::Error>>;

    /// The edge that makes a step, on all its motors.
    ///
    /// # Errors
    /// The first pin that failed; motors after it were not stepped.
    fn begin(&mut self) -> Result<(), MotorError<Self::Error>>;

    /// Ends the pulse on all its motors. Where it is over already, nothing changes.
    ///
    /// # Errors
    /// The first pin that failed; the other motors are ended all the same.
    fn end(&mut self) -> Result<(), MotorError<Self::Error>>;
}
