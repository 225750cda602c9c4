//! One type of error for pins of different makers.

use embedded_hal::digital::{Error, ErrorKind, ErrorType, OutputPin};

/// A pin whose error is brought to the [`ErrorKind`] that all pins share, so that pins with errors
/// of different types (a port expander beside pins of the chip) fit in one bank.
///
/// ```
/// use embedded_hal::digital::{ErrorKind, ErrorType, OutputPin};
/// use spokeshave::pins::{Motor, Plain, AxisOutputs};
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::Error;
/// # struct OnChip;
/// # impl ErrorType for OnChip { type Error = Infallible; }
/// # impl OutputPin for OnChip {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { Ok(()) }
/// # }
/// # #[derive(Debug)] struct NoAnswer;
/// # impl Error for NoAnswer { fn kind(&self) -> ErrorKind { ErrorKind::Other } }
/// # struct Expander;
/// # impl ErrorType for Expander { type Error = NoAnswer; }
/// # impl OutputPin for Expander {
/// #     fn set_low(&mut self) -> Result<(), NoAnswer> { Err(NoAnswer) }
/// #     fn set_high(&mut self) -> Result<(), NoAnswer> { Err(NoAnswer) }
/// # }
/// let mut motor = Motor::new(Plain(OnChip), Plain(Expander));
/// assert_eq!(motor.direct(true).unwrap_err().cause, ErrorKind::Other);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Plain<P>(pub P);

impl<P> ErrorType for Plain<P> {
    type Error = ErrorKind;
}

impl<P: OutputPin> OutputPin for Plain<P> {
    #[inline]
    fn set_low(&mut self) -> Result<(), ErrorKind> {
        self.0.set_low().map_err(|error| error.kind())
    }

    #[inline]
    fn set_high(&mut self) -> Result<(), ErrorKind> {
        self.0.set_high().map_err(|error| error.kind())
    }
}
