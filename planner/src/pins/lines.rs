//! All lines of a machine: what they stand at, and the three edges of a pulse.

use super::error::{Cause, PinError, below};
use super::outputs::Outputs;
use crate::pulse::Pulse;

/// The lines of `N` axes, 1 to 6, without any clock: the caller sees to the times between the calls.
/// [`Bank`](super::Bank) and [`WaitingBank`](super::WaitingBank) do that for you.
///
/// ```
/// use spokeshave::{Pulse, pins::{Lines, Motor}};
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::{ErrorType, OutputPin};
/// # #[derive(Default)]
/// # struct Pin(Vec<bool>);
/// # impl ErrorType for Pin { type Error = Infallible; }
/// # impl OutputPin for Pin {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
/// # }
/// let mut lines = Lines::new((Motor::new(Pin::default(), Pin::default()),));
/// lines.settle()?;
/// for tick in [100, 200] {
///     let pulse = Pulse { tick, steps: 1, forward: 1 };
///     let changed = lines.direct(&pulse)?;
///     assert_eq!(changed, tick == 100); // then wait for the set-up time
///     lines.begin(&pulse)?;
///     lines.end()?; // one pulse width later
/// }
/// let (step, direction) = lines.release().0.release();
/// assert_eq!(step.0, [false, true, false, true, false]);
/// assert_eq!(direction.0, [true]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Lines<A, const N: usize> {
    outputs: A,
    /// Axes whose direction line stands forward, of those in `known`.
    forward: u8,
    /// Axes whose direction line was set and has not failed since.
    known: u8,
    /// Axes whose step line may be active.
    active: u8,
}

impl<A: Outputs<N>, const N: usize> Lines<A, N> {
    /// All axes, bit 0 for the first.
    const ALL: u8 = {
        assert!(N >= 1 && N <= 6, "a machine has 1 to 6 axes");
        (1 << N) - 1
    };

    /// Takes the outputs; touches no pin. No level is known yet: [`settle`](Self::settle) first.
    pub fn new(outputs: A) -> Self {
        Self {
            outputs,
            forward: 0,
            known: 0,
            active: Self::ALL,
        }
    }

    /// Brings every step line to rest, and takes no direction line for granted any more: before the
    /// first pulse, and after an error.
    ///
    /// # Errors
    /// The first pin that failed; the other lines are at rest. Call it again.
    pub fn settle(&mut self) -> Result<(), PinError<A::Error>> {
        self.known = 0;
        self.active = Self::ALL;
        self.end()
    }

    /// Sets the directions that change for `pulse`, before its step edges; true if any did, and the
    /// edges must wait for the set-up time.
    ///
    /// # Errors
    /// The first axis whose pin failed, or axes that this has no outputs for. No step was begun.
    #[inline]
    pub fn direct(&mut self, pulse: &Pulse) -> Result<bool, Cause<A::Error>> {
        has_outputs::<_, N>(pulse)?;
        let change = pulse.steps & ((pulse.forward ^ self.forward) | !self.known);
        if change == 0 {
            return Ok(false);
        }
        self.known &= !change; // of an error it is not known which line stands where
        self.outputs.direct(change, pulse.forward)?;
        self.known |= change;
        self.forward = self.forward & !change | pulse.forward & change;
        Ok(true)
    }

    /// The step edges of `pulse`, one right after the other; its directions must stand.
    ///
    /// # Errors
    /// The first axis whose pin failed: axes before it have stepped, axes after it have not.
    /// [`end`](Self::end) ends what was begun. Or axes without outputs: then none has stepped.
    #[inline]
    pub fn begin(&mut self, pulse: &Pulse) -> Result<(), Cause<A::Error>> {
        has_outputs::<_, N>(pulse)?;
        self.active |= pulse.steps;
        self.outputs.begin(pulse.steps).map_err(|error| {
            let up_to = below(error.axis.saturating_add(1));
            self.active &= up_to | !pulse.steps;
            Cause::Pin(error)
        })
    }

    /// Ends what was begun, one pulse width later.
    ///
    /// # Errors
    /// The first axis whose pin failed: its line may still be active, the others are at rest.
    #[inline]
    pub fn end(&mut self) -> Result<(), PinError<A::Error>> {
        let axes = self.active;
        self.outputs.end(axes)?;
        self.active = 0;
        Ok(())
    }

    /// Axes whose step line may be active: those of the pulse, from its edges to its end. All of
    /// them before the first [`settle`](Self::settle), and after an end that failed those that it
    /// was to end.
    pub fn active(&self) -> u8 {
        self.active
    }

    pub(super) fn outputs_mut(&mut self) -> &mut A {
        &mut self.outputs
    }

    /// Gives the outputs back.
    pub fn release(self) -> A {
        self.outputs
    }
}

/// No step is left out in silence.
#[inline]
fn has_outputs<E, const N: usize>(pulse: &Pulse) -> Result<(), Cause<E>> {
    match pulse.steps >> N << N {
        0 => Ok(()),
        axes => Err(Cause::NoOutput { axes }),
    }
}
