//! The line that switches drivers on.

use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{OutputPin, PinState};

/// An enable line, of one driver or shared by all. Drivers that are always on need none.
///
/// It stands beside the bank: a motor without current holds nothing, and with current it may jump to
/// the nearest place where its poles match. So enable first, wait, then find the reference
/// position; and disable only where the position no longer matters.
///
/// ```
/// use embedded_hal::digital::PinState;
/// use spokeshave::pins::Enable;
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::{ErrorType, OutputPin};
/// # #[derive(Default)]
/// # struct Pin(Vec<bool>);
/// # impl ErrorType for Pin { type Error = Infallible; }
/// # impl OutputPin for Pin {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
/// # }
/// // The data sheet: enabled while low, first step no sooner than 1.5 ms later.
/// let mut enable = Enable::new(Pin::default(), PinState::Low, 1_500);
/// let wait_us = enable.on()?;
/// assert_eq!(wait_us, 1_500); // wait that long, by timer or delay, then step
/// enable.off()?;
/// assert_eq!(enable.release().0, [false, true]);
/// # Ok::<(), core::convert::Infallible>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Enable<P> {
    pin: P,
    on: PinState,
    wake_us: u32,
}

impl<P: OutputPin> Enable<P> {
    /// A line that enables at level `on`. `wake_us`: how long after that the driver takes its first
    /// step, µs, from its data sheet; the longest of those that share the line. The pin is not
    /// touched.
    pub fn new(pin: P, on: PinState, wake_us: u32) -> Self {
        Self { pin, on, wake_us }
    }

    /// Enables. The time to wait before the first step comes back, µs.
    ///
    /// # Errors
    /// What the pin returns; take the drivers as off.
    #[must_use = "the first step must wait this long"]
    pub fn on(&mut self) -> Result<u32, P::Error> {
        self.pin.set_state(self.on)?;
        Ok(self.wake_us)
    }

    /// Enables and waits until the drivers can step.
    ///
    /// # Errors
    /// What the pin returns; take the drivers as off.
    pub fn on_and_wait(&mut self, delay: &mut impl DelayNs) -> Result<(), P::Error> {
        delay.delay_us(self.on()?);
        Ok(())
    }

    /// Disables. The motors hold no longer: the position is in doubt from here on. This is no
    /// emergency stop, which cuts power and asks no pin.
    ///
    /// # Errors
    /// What the pin returns; take the drivers as on.
    pub fn off(&mut self) -> Result<(), P::Error> {
        self.pin.set_state(!self.on)
    }

    /// Gives the pin back.
    pub fn release(self) -> P {
        self.pin
    }
}
