//! The lines of all axes with a blocking delay.

use super::error::{Cause, Halt, PinError};
use super::lines::Lines;
use super::outputs::Outputs;
use super::pulse_times::PulseTimes;
use crate::machine::Machine;
use crate::pulse::Pulse;
use embedded_hal::delay::DelayNs;

/// All axes of a machine, for a slow one that has nothing else to do: each pulse is made whole in one
/// call, which waits through its times with `embedded_hal::delay::DelayNs`. The caller waits for the
/// tick of a pulse.
///
/// ```
/// use embedded_hal::delay::DelayNs;
/// use spokeshave::pins::{Motor, WaitingBank};
/// use spokeshave::*;
/// # use core::convert::Infallible;
/// # use embedded_hal::digital::{ErrorType, OutputPin};
/// # #[derive(Default)]
/// # struct Pin(Vec<bool>);
/// # impl ErrorType for Pin { type Error = Infallible; }
/// # impl OutputPin for Pin {
/// #     fn set_low(&mut self) -> Result<(), Infallible> { self.0.push(false); Ok(()) }
/// #     fn set_high(&mut self) -> Result<(), Infallible> { self.0.push(true); Ok(()) }
/// # }
/// # use std::cell::Cell;
/// # struct Delay<'a>(&'a Cell<u64>);
/// # impl DelayNs for Delay<'_> {
/// #     fn delay_ns(&mut self, ns: u32) { self.0.set(self.0.get() + u64::from(ns)); }
/// # }
/// # let clock = Cell::new(0);
/// # let delay = Delay(&clock);
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis], controller, 0.02)?; // with a timer of 1 MHz
/// let mut planner: Planner<1, 8> = Planner::new(machine, [Coordinate::ZERO]);
/// let mut trains = TrainMaker::new(&machine, [Coordinate::ZERO]);
/// let mut pulses = PulseGenerator::new(&machine, [Coordinate::ZERO]);
/// let axes = (Motor::new(Pin::default(), Pin::default()),);
/// let mut bank = WaitingBank::new(axes, delay, &machine);
/// bank.settle()?;
/// planner.line([Coordinate::from_mm(1.0).unwrap()], Some(20.0), 0)?;
/// # let timer = |tick: u64| if clock.get() < 1000 * tick { clock.set(1000 * tick) };
/// loop {
///     match pulses.next_event(&mut || trains.next_train(&mut || planner.next_ramp())) {
///         Event::Pulse(pulse) => {
///             timer(pulse.tick); // wait until a counter has that count
///             bank.make(&pulse)?;
///         }
///         Event::Wait(_) => {}
///         Event::Idle => break,
///     }
/// }
/// let (axes, _) = bank.release();
/// assert_eq!(axes.0.step.0.iter().filter(|high| **high).count(), 100);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct WaitingBank<A, D, const N: usize> {
    lines: Lines<A, N>,
    delay: D,
    /// In ns.
    times: PulseTimes,
    stopped: bool,
}

impl<A: Outputs<N>, D: DelayNs, const N: usize> WaitingBank<A, D, N> {
    /// Takes outputs and delay; touches no pin: [`settle`](Self::settle) first. The times are those
    /// of the machine's controller, up to whole nanoseconds.
    pub fn new(outputs: A, delay: D, machine: &Machine<N>) -> Self {
        Self {
            lines: Lines::new(outputs),
            delay,
            times: PulseTimes::in_ns(machine),
            stopped: true,
        }
    }

    /// Brings every step line to rest and makes the bank ready for the first pulse, or for the first
    /// after an error (see [`Halt`] for what else that needs).
    ///
    /// # Errors
    /// The first pin that failed; the bank stays stopped. Call it again.
    pub fn settle(&mut self) -> Result<(), PinError<A::Error>> {
        self.stopped = true;
        self.lines.settle()?;
        self.stopped = false;
        Ok(())
    }

    /// Makes a pulse, at its tick: directions and the set-up time, where one changes; step edges and
    /// the width; ends and the low time, so that the next pulse may follow at once.
    ///
    /// # Errors
    /// A pin failed, a pulse steps axes that have no outputs, or the bank is stopped (not settled
    /// yet, or an error before): [`Halt`] says what was not made. What was begun is ended.
    pub fn make(&mut self, pulse: &Pulse) -> Result<(), Halt<A::Error>> {
        if self.stopped {
            return Err(self.halt(Cause::Stopped, pulse));
        }
        match self.lines.direct(pulse) {
            Ok(false) => {}
            Ok(true) => self.delay.delay_ns(self.times.setup),
            Err(cause) => return Err(self.halt(cause, pulse)),
        }
        let begun = self.lines.begin(pulse);
        self.delay.delay_ns(self.times.width);
        let ended = self.lines.end();
        self.delay.delay_ns(self.times.low);
        if let Err(cause) = begun {
            // The end of the same line is likely to fail as well; `settle` tells.
            self.stopped = true;
            return Err(Halt::at_edges(cause, pulse));
        }
        ended.map_err(|error| {
            self.stopped = true;
            Halt {
                cause: error.into(),
                left_out: None,
            }
        })
    }

    /// Gives outputs and delay back. Lines stay as they are.
    pub fn release(self) -> (A, D) {
        (self.lines.release(), self.delay)
    }

    /// Stops before any edge of `pulse`.
    fn halt(&mut self, cause: Cause<A::Error>, pulse: &Pulse) -> Halt<A::Error> {
        self.stopped = true;
        Halt {
            cause,
            left_out: Some(*pulse),
        }
    }
}
