//! The pulse generator: pulse trains in, step pulses out. It runs in the timer interrupt.

use crate::coordinate::Point;
use crate::machine::{Machine, Timing};
use crate::pulse::{Event, Lateness, Pulse};
use crate::pulse_train::{PulseTrain, Times};
use crate::scale::Scale;
use crate::stamp::{LONG_AGO, LONG_AGO_BITS, Stamp};
use crate::track;
use heapless::spsc::Consumer;

/// Where the generator takes its pulse trains from.
pub trait TrainSource<const N: usize> {
    /// Shows the next train, if there is one, to `take`, and drops it.
    fn take_train(&mut self, take: impl FnOnce(&PulseTrain<N>)) -> Option<()>;
}

impl<const N: usize> TrainSource<N> for Consumer<'_, PulseTrain<N>> {
    // Read where it lies: a copy would cost as much as all the rest.
    #[inline]
    fn take_train(&mut self, take: impl FnOnce(&PulseTrain<N>)) -> Option<()> {
        self.peek().map(take)?;
        self.dequeue().map(|_| ())
    }
}

impl<const N: usize, F: FnMut() -> Option<PulseTrain<N>>> TrainSource<N> for F {
    #[inline]
    fn take_train(&mut self, take: impl FnOnce(&PulseTrain<N>)) -> Option<()> {
        self().map(|train| take(&train))
    }
}

/// Makes the steps of `N` axes, with additions and comparisons only.
///
/// An axis steps where its ideal position crosses half-way between two step positions; after
/// turning back, 1/16 step further, so that a turn right at a half-way point makes no pair of
/// steps for nothing. Each step lies within one tick of its crossing in the plan, or as soon after
/// as the driver can take it.
///
/// ```
/// use spokeshave::*;
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let mut planner: Planner<1, 8> = Planner::new(machine, [Coordinate::ZERO]);
/// let mut trains = TrainMaker::new(&machine, [Coordinate::ZERO]);
/// let mut pulses = PulseGenerator::new(&machine, [Coordinate::ZERO]);
/// planner.line([Coordinate::from_mm(1.0).unwrap()], Some(20.0), 0)?;
/// let mut count = 0;
/// loop {
///     match pulses.next_event(&mut || trains.next_train(&mut || planner.next_ramp())) {
///         Event::Pulse(_) => count += 1,
///         Event::Wait(_) => {}
///         Event::Idle => break,
///     }
/// }
/// assert_eq!((count, pulses.position()), (100, [100]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PulseGenerator<const N: usize> {
    lines: [Line; N],
    /// Lines whose position grows.
    forward: u8,
    timing: Timing,
    /// The tick that the current train, and what is due, are counted from.
    base: u64,
    /// When the last pulse was made.
    last: Stamp,
    late: Lateness,
    /// Trains are dropped: it was cut short.
    cut: bool,
}

/// One axis. What is due is counted from the base: a train is short enough for 32 bits.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Line {
    times: Times,
    /// When the next step is due, [`NEVER`] where this train has none left.
    due: i32,
    /// When the last step was made.
    made: Stamp,
    /// Steps left in this train.
    left: u32,
    /// Where it ends.
    end: i32,
}

/// No step is due.
const NEVER: i32 = i32::MAX;

/// Where steps are late by so many ticks, the plan itself is put off: later ones would not fit.
const LATEST: i32 = 1 << 30;

impl<const N: usize> PulseGenerator<N> {
    /// A generator at rest at `start`, at tick 0.
    pub fn new(machine: &Machine<N>, start: Point<N>) -> Self {
        let line = |position| Line {
            times: Times::default(),
            due: NEVER,
            made: Stamp(LONG_AGO.wrapping_neg()),
            left: 0,
            end: track::nearest_step(position),
        };
        Self {
            lines: Scale::new(machine).steps(&start).map(line),
            forward: 0,
            timing: machine.timing(),
            base: 0,
            last: Stamp(0),
            late: Lateness::default(),
            cut: false,
        }
    }

    /// Stops at once: what is left of this train is never made, and trains are dropped unseen until
    /// [`place`](Self::place) is called. `unmade` is the pulse that was given out last, if it is not made
    /// and will not be. Where the motors stand is [`position`](Self::position) then, counted to the step;
    /// at speed they may have lost some, so that the position is in doubt: see
    /// [`Planner::cut`](crate::Planner::cut).
    pub fn cut(&mut self, unmade: Option<&Pulse>) {
        let stands = self.motors_at(unmade);
        for (line, stands) in self.lines.iter_mut().zip(stands) {
            (line.due, line.left, line.end) = (NEVER, 0, stands);
        }
        self.cut = true;
    }

    /// The motors rest where the plan does, at `position` in 2⁻³² of a step
    /// ([`Planner::position`](crate::Planner::position)), whatever was counted before. For a generator
    /// that was cut, or that is done with all trains. After a cut ask for an event first, once no more trains
    /// come: it drops those that are still queued.
    pub fn place(&mut self, position: [i64; N]) {
        for (line, position) in self.lines.iter_mut().zip(position) {
            (line.due, line.left) = (NEVER, 0);
            line.end = track::nearest_step(position);
        }
        self.cut = false;
    }

    /// Step position of each axis before the pulse that was given out last: where the motors stand until
    /// it is made.
    pub fn position_before(&self, pulse: &Pulse) -> [i32; N] {
        let mut axis = 0;
        self.position().map(|position| {
            let before = position - i32::from(pulse.step(axis));
            axis += 1;
            before
        })
    }

    /// Where the motors stand, step position of each axis, where the pulse `pending` was given out and is
    /// not made yet; `None` where all are made. `pins::Bank::pending` knows which it
    /// is.
    pub fn motors_at(&self, pending: Option<&Pulse>) -> [i32; N] {
        match pending {
            Some(pulse) => self.position_before(pulse),
            None => self.position(),
        }
    }

    /// Step position of each axis, counted from the machine's zero, with all pulses that were given out.
    pub fn position(&self) -> [i32; N] {
        core::array::from_fn(|i| {
            let line = &self.lines[i];
            let left = line.left as i32;
            line.end
                - if self.forward >> i & 1 == 1 {
                    left
                } else {
                    -left
                }
        })
    }

    /// Steps that came late so far.
    pub fn lateness(&self) -> Lateness {
        self.late
    }

    /// The tick up to which all is taken: after [`Event::Idle`], that at which the last ramp ended.
    pub fn end_tick(&self) -> u64 {
        self.base
    }

    /// After [`Event::Idle`]: trains taken from now on begin at `now`, or where the last one ended
    /// if that is later.
    pub fn start_at(&mut self, now: u64) {
        if self.first_due() == NEVER && now > self.base {
            // However much later it is, in steps that stamps can tell.
            let later = now - self.base;
            self.count_from(later.min(LONG_AGO.into()) as u32);
            if later > LONG_AGO.into() {
                self.base = now;
                for stamp in self.stamps() {
                    *stamp = Stamp((now as u32).wrapping_sub(LONG_AGO));
                }
            }
        }
    }

    /// What to do next. Takes one train from `source` where the last one is done.
    #[inline]
    pub fn next_event(&mut self, source: &mut impl TrainSource<N>) -> Event {
        let before = self.base;
        let mut due = self.first_due();
        if due == NEVER {
            if self.cut {
                while source.take_train(|_| ()).is_some() {}
                return Event::Idle;
            }
            if source.take_train(|train| self.begin(train)).is_none() {
                return Event::Idle;
            }
            due = self.first_due();
            if due == NEVER {
                // One train ahead, so that its successor is known before it is due.
                return Event::Wait(before);
            }
        }
        Event::Pulse(self.step_at(due))
    }

    #[inline]
    fn first_due(&self) -> i32 {
        self.lines.iter().fold(NEVER, |due, line| due.min(line.due))
    }

    // By itself, as the step of a line is: together they would want more registers than there are.
    #[inline(never)]
    fn begin(&mut self, train: &PulseTrain<N>) {
        self.count_from(train.lead);
        while self.last.since(self.base) > LATEST {
            self.count_from(LONG_AGO);
        }
        let base = self.base;
        let earliest = self.last.since(base).max(0);
        let turned = self.forward ^ train.forward;
        self.forward = train.forward;
        let mut axis = 1;
        for (line, steps) in self.lines.iter_mut().zip(&train.steps) {
            if steps.count != 0 {
                let gap = if turned & axis == 0 {
                    self.timing.same_way
                } else {
                    self.timing.other_way
                };
                let ready = (line.made.since(base) + gap as i32).max(earliest);
                line.due = self.late.put_off(steps.first, ready);
                line.left = steps.count.unsigned_abs();
                line.end += steps.count;
                line.times = steps.times;
            }
            axis <<= 1;
        }
    }

    #[inline]
    fn step_at(&mut self, due: i32) -> Pulse {
        self.last = Stamp((self.base as u32).wrapping_add(due as u32));
        let ready = due + self.timing.same_way as i32;
        let (mut steps, mut axis) = (0, 1);
        for line in &mut self.lines {
            if line.due == due {
                steps |= axis;
                line.step(self.last, ready, &mut self.late);
            }
            axis <<= 1;
        }
        Pulse {
            // Never before the base.
            tick: self.base + u64::from(due as u32),
            steps,
            forward: self.forward & steps,
        }
    }

    /// Counts from so many ticks later on, at most [`LONG_AGO`].
    #[inline]
    fn count_from(&mut self, later: u32) {
        let before = self.base;
        self.base += u64::from(later);
        if (before ^ self.base) >> LONG_AGO_BITS != 0 {
            self.bring_up();
        }
    }

    /// Once in [`LONG_AGO`], so no stamp is older than twice that and the longest train.
    #[cold]
    #[inline(never)]
    fn bring_up(&mut self) {
        let base = self.base;
        self.stamps().for_each(|stamp| stamp.bring_up(base));
    }

    fn stamps(&mut self) -> impl Iterator<Item = &mut Stamp> {
        let made = self.lines.iter_mut().map(|line| &mut line.made);
        made.chain([&mut self.last])
    }
}

impl Line {
    /// Makes the step that is due `now`; the driver takes the next one no sooner than it is `ready`.
    #[inline(never)]
    fn step(&mut self, now: Stamp, ready: i32, late: &mut Lateness) {
        self.made = now;
        self.left -= 1;
        if self.left == 0 {
            self.due = NEVER;
            return;
        }
        self.due = late.put_off(self.times.advance(), ready);
    }
}

#[cfg(test)]
mod tests;
