//! The lines of all axes in a timer interrupt.

use super::error::{Cause, Halt, PinError};
use super::lines::Lines;
use super::next::Next;
use super::outputs::Outputs;
use super::pulse_times::PulseTimes;
use crate::pulse::{Event, Lateness, Pulse};

/// All axes of a machine in a timer interrupt: edges at their time, without waiting in it.
///
/// Each call of [`turn`](Self::turn) makes the edges that are due and says when the next are. The
/// event after a pulse is fetched during the pulse; the directions that it changes are set right
/// after the pulse, so that the set-up time passes while nothing else is to do. Where fetching takes
/// as long as the pulse is wide, the pulse is ended in the same call, and one interrupt makes it all.
///
/// Pulses come one after the other, never sooner than their tick, and keep the [`PulseTimes`] however
/// late an interrupt is; what that costs is in [`lateness`](Self::lateness). A pulse blocks the
/// others for its width, and the set-up time where a direction changes, and the processor's own
/// time: all axes' steps per second times that must stay below 1, or the bank falls behind for as
/// long as the machine is fast, and then stops late and hard. Test at the highest speeds, and look
/// at the worst lateness.
///
/// An interrupt, with the timer and the pins of a chip in place of those here:
///
/// ```
/// use spokeshave::pins::{Bank, Motor, Next, PulseTimes};
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
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let mut planner: Planner<1, 8> = Planner::new(machine, [Coordinate::ZERO]);
/// let mut trains = TrainMaker::new(&machine, [Coordinate::ZERO]);
/// let mut pulses = PulseGenerator::new(&machine, [Coordinate::ZERO]);
/// let axes = (Motor::new(Pin::default(), Pin::default()),);
/// let mut bank = Bank::new(axes, PulseTimes::of(&machine));
/// bank.settle()?;
/// planner.line([Coordinate::from_mm(1.0).unwrap()], Some(20.0), 0)?;
///
/// let mut now = 0; // the timer's count
/// loop {
///     if bank.next() == Next::Idle {
///         pulses.start_at(now); // trains may have been a long time coming
///     }
///     let event = || pulses.next_event(&mut || trains.next_train(&mut || planner.next_ramp()));
///     match bank.turn(|| now, event)? {
///         Next::At(tick) => now = tick, // arm the timer and return
///         Next::Idle | Next::Stopped => break,
///     }
/// }
/// let edges = bank.release().0.step.0;
/// assert_eq!(edges.iter().filter(|high| **high).count(), 100);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Bank<A, const N: usize> {
    lines: Lines<A, N>,
    times: PulseTimes,
    stage: Stage,
    /// When the next turn is due, in stages that have such a time.
    due: u64,
    /// The last event: a pulse, or a wait until its tick.
    pulse: Pulse,
    /// From when on each axis may step again.
    ready: [u64; N],
    late: Lateness,
}

/// What is done at the next turn.
#[derive(Clone, Copy, Debug)]
enum Stage {
    /// Ask for the next event, whenever that is.
    Idle,
    /// Ask for the next event.
    Ask,
    /// Make the edges of the pulse; its directions stand.
    Edges,
    /// End the pulse that was begun; the event fetched since is next.
    End(Then),
    /// End what was begun before an error, and stop.
    Halt,
    /// Nothing.
    Stopped,
}

/// The kind of the last event. Its tick and mask stand in the bank.
#[derive(Clone, Copy, Debug)]
enum Then {
    Pulse,
    Wait,
    Idle,
}

impl<A: Outputs<N>, const N: usize> Bank<A, N> {
    /// Takes the outputs; touches no pin. It is stopped until [`settle`](Self::settle).
    pub fn new(outputs: A, times: PulseTimes) -> Self {
        Self {
            lines: Lines::new(outputs),
            times,
            stage: Stage::Stopped,
            due: 0,
            pulse: Pulse {
                tick: 0,
                steps: 0,
                forward: 0,
            },
            ready: [0; N],
            late: Lateness::default(),
        }
    }

    /// Brings every step line to rest and makes the bank ready for the first pulse, or for the first
    /// after an error (see [`Halt`] for what else that needs). After an error call it one pulse
    /// width later at the earliest, or once [`next`](Self::next) is [`Next::Stopped`].
    ///
    /// A pulse that was taken from the generator and not made yet is dropped. Ticks may count anew
    /// from here.
    ///
    /// # Errors
    /// The first pin that failed; the bank stays stopped. Call it again.
    pub fn settle(&mut self) -> Result<(), PinError<A::Error>> {
        self.stage = Stage::Stopped;
        self.lines.settle()?;
        self.ready = [0; N];
        self.stage = Stage::Idle;
        Ok(())
    }

    /// Makes the edges that are due; says when to call it again. `now` reads the step timer, in the
    /// ticks of [`Pulse::tick`] (it is read after edges, so that times count from the edge itself);
    /// `event` asks the generator. A call that comes too soon does nothing.
    ///
    /// # Errors
    /// A pin failed, or a pulse steps axes that have no outputs: [`Halt`] says what was not made.
    /// Arm the timer by [`next`](Self::next) all the same: the turn then ends what was begun.
    #[inline]
    pub fn turn(
        &mut self,
        mut now: impl FnMut() -> u64,
        event: impl FnOnce() -> Event,
    ) -> Result<Next, Halt<A::Error>> {
        let early = match self.stage {
            Stage::Stopped => true,
            Stage::Idle => false,
            _ => now() < self.due,
        };
        if early {
            return Ok(self.next());
        }
        let begun = match self.stage {
            Stage::Edges => {
                self.edges(&mut now)?;
                true
            }
            Stage::End(_) => true,
            Stage::Halt => {
                self.stage = Stage::Stopped;
                let ended = self.lines.end();
                ended.map_err(|error| halt(error.into(), None))?;
                return Ok(Next::Stopped);
            }
            _ => false,
        };
        let then = match self.stage {
            Stage::End(then) => then,
            _ => self.take(event()),
        };
        if begun {
            if now() < self.due {
                self.stage = Stage::End(then);
                return Ok(Next::At(self.due));
            }
            self.end(then, &mut now)?;
        }
        self.prepare(then, now)?;
        Ok(self.next())
    }

    /// When to call [`turn`](Self::turn) again: what its last call returned, and after an error when
    /// what was begun must end.
    #[inline]
    pub fn next(&self) -> Next {
        match self.stage {
            Stage::Idle => Next::Idle,
            Stage::Stopped => Next::Stopped,
            _ => Next::At(self.due),
        }
    }

    /// The pulse that was taken from the generator and is not made yet: the motors stand where
    /// [`PulseGenerator::motors_at`](crate::PulseGenerator::motors_at) says with it.
    #[inline]
    pub fn pending(&self) -> Option<&Pulse> {
        match self.stage {
            Stage::Edges | Stage::End(Then::Pulse) => Some(&self.pulse),
            _ => None,
        }
    }

    /// Takes back the pulse that was taken from the generator and is not made yet, and never makes it:
    /// for [`PulseGenerator::cut`](crate::PulseGenerator::cut). A pulse that was begun is ended at
    /// its time: arm the timer by [`next`](Self::next).
    pub fn withdraw(&mut self) -> Option<Pulse> {
        let pending = self.pending().copied();
        self.stage = match self.stage {
            Stage::Edges => Stage::Idle,
            Stage::End(Then::Pulse) => Stage::End(Then::Idle),
            other => other,
        };
        pending
    }

    /// The outputs, to hold a motor back ([`Held`](super::Held)) or to see how far it went. What sets a
    /// line by this goes past the bank, which then no longer knows how the line stands.
    pub fn outputs_mut(&mut self) -> &mut A {
        self.lines.outputs_mut()
    }

    /// Pulses whose edges came more than a tick late, because an interrupt was late or the
    /// [`PulseTimes`] were kept. The generator counts what it had to make late itself.
    pub fn lateness(&self) -> Lateness {
        self.late
    }

    /// Gives the outputs back. Lines stay as they are.
    pub fn release(self) -> A {
        self.lines.release()
    }

    /// Keeps the event that comes next.
    #[inline]
    fn take(&mut self, event: Event) -> Then {
        match event {
            Event::Pulse(pulse) => {
                self.pulse = pulse;
                Then::Pulse
            }
            Event::Wait(tick) => {
                self.pulse.tick = tick;
                Then::Wait
            }
            Event::Idle => Then::Idle,
        }
    }

    #[inline]
    fn edges(&mut self, now: &mut impl FnMut() -> u64) -> Result<(), Halt<A::Error>> {
        let begun = self.lines.begin(&self.pulse);
        let at = now();
        self.due = at.saturating_add(self.times.width.into());
        if let Err(cause) = begun {
            self.stage = Stage::Halt;
            return Err(Halt::at_edges(cause, &self.pulse));
        }
        if at > self.pulse.tick.saturating_add(1) {
            self.count_late(at);
        }
        Ok(())
    }

    #[inline]
    fn end(&mut self, then: Then, now: &mut impl FnMut() -> u64) -> Result<(), Halt<A::Error>> {
        let axes = self.lines.active();
        if let Err(error) = self.lines.end() {
            self.stage = Stage::Stopped;
            let left_out = match then {
                Then::Pulse => Some(self.pulse),
                Then::Wait | Then::Idle => None,
            };
            return Err(halt(error.into(), left_out));
        }
        let ready = now().saturating_add(self.times.low.into());
        for (i, axis) in self.ready.iter_mut().enumerate() {
            if axes >> i & 1 != 0 {
                *axis = ready;
            }
        }
        Ok(())
    }

    /// Sets the directions of the next pulse; finds the earliest tick of its edges.
    #[inline]
    fn prepare(&mut self, then: Then, mut now: impl FnMut() -> u64) -> Result<(), Halt<A::Error>> {
        self.due = self.pulse.tick;
        self.stage = match then {
            Then::Pulse => {
                match self.lines.direct(&self.pulse) {
                    Ok(false) => {}
                    Ok(true) => self.no_sooner(now().saturating_add(self.times.setup.into())),
                    Err(cause) => {
                        self.stage = Stage::Stopped;
                        return Err(halt(cause, Some(self.pulse)));
                    }
                }
                for i in 0..N {
                    if self.pulse.steps >> i & 1 != 0 {
                        self.no_sooner(self.ready[i]);
                    }
                }
                Stage::Edges
            }
            Then::Wait => Stage::Ask,
            Then::Idle => Stage::Idle,
        };
        Ok(())
    }

    #[inline]
    fn no_sooner(&mut self, tick: u64) {
        self.due = self.due.max(tick);
    }

    #[cold]
    fn count_late(&mut self, at: u64) {
        let ticks = at.saturating_sub(self.pulse.tick);
        let ticks = u32::try_from(ticks).unwrap_or(u32::MAX);
        self.late.steps = self.late.steps.saturating_add(1);
        self.late.worst = self.late.worst.max(ticks);
    }
}

#[cold]
fn halt<E>(cause: Cause<E>, left_out: Option<Pulse>) -> Halt<E> {
    Halt { cause, left_out }
}
