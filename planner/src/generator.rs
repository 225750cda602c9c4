//! The pulse generator: pulse trains in, step pulses out. It runs in the timer interrupt.

use crate::coordinate::Point;
use crate::machine::{Machine, Timing};
use crate::pulse::{Event, Lateness, Pulse};
use crate::pulse_train::{PulseTrain, Steps, Times};
use crate::scale::Scale;
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
    timing: Timing,
    /// The tick that the current train counts from.
    base: u64,
    /// Nothing is due before this tick: that of the last pulse, or the base where that is later.
    now: u64,
    late: Lateness,
}

/// One axis. Ticks are the low 32 bits of the count: only differences of less than 2³¹ are used.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
struct Line {
    times: Times,
    /// Steps left in this train.
    left: u32,
    /// When the next of them is due.
    due: u32,
    /// When the last step was made.
    made: u32,
    forward: bool,
    position: i32,
}

/// An older step than this many ticks sets no time for the next: a driver's minimum times are at
/// most 0.2 s, 8e7 ticks at the fastest timer.
const LONG_AGO: u32 = 1 << 30;

impl<const N: usize> PulseGenerator<N> {
    /// A generator at rest at `start`, at tick 0.
    pub fn new(machine: &Machine<N>, start: Point<N>) -> Self {
        let line = |position| Line {
            times: Times::default(),
            left: 0,
            due: 0,
            made: 0_u32.wrapping_sub(LONG_AGO),
            forward: true,
            position: track::nearest_step(position),
        };
        Self {
            lines: Scale::new(machine).steps(&start).map(line),
            timing: machine.timing(),
            base: 0,
            now: 0,
            late: Lateness::default(),
        }
    }

    /// Step position of each axis, counted from the machine's zero.
    pub fn position(&self) -> [i32; N] {
        self.lines.map(|line| line.position)
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
        if self.first_due().is_some() || now <= self.base {
            return;
        }
        self.base = now;
        self.advance_to(now);
    }

    /// What to do next. Takes one train from `source` where the last one is done.
    #[inline]
    pub fn next_event(&mut self, source: &mut impl TrainSource<N>) -> Event {
        if let Some(ticks) = self.first_due() {
            return Event::Pulse(self.step_after(ticks));
        }
        let before = self.base;
        let Some(()) = source.take_train(|train| self.begin(train)) else {
            return Event::Idle;
        };
        match self.first_due() {
            Some(ticks) => Event::Pulse(self.step_after(ticks)),
            // One train ahead, so that its successor is known before it is due.
            None => Event::Wait(before),
        }
    }

    /// Ticks from now to the next step.
    #[inline]
    fn first_due(&self) -> Option<u32> {
        let now = self.now as u32;
        let due = |line: &Line| (line.left > 0).then_some(line.due.wrapping_sub(now));
        self.lines.iter().filter_map(due).min()
    }

    fn begin(&mut self, train: &PulseTrain<N>) {
        self.base += u64::from(train.lead);
        self.advance_to(self.now.max(self.base));
        let (base, now) = (self.base as u32, self.now as u32);
        for (line, steps) in self.lines.iter_mut().zip(&train.steps) {
            if steps.count > 0 {
                line.begin(steps, base, now, self.timing, &mut self.late);
            }
        }
    }

    #[inline]
    fn step_after(&mut self, ticks: u32) -> Pulse {
        self.now += u64::from(ticks);
        let (base, now) = (self.base as u32, self.now as u32);
        let mut pulse = Pulse {
            tick: self.now,
            steps: 0,
            forward: 0,
        };
        for (i, line) in self.lines.iter_mut().enumerate() {
            if line.left > 0 && line.due == now {
                pulse.steps |= 1 << i;
                pulse.forward |= u8::from(line.forward) << i;
                line.step(base, now, self.timing, &mut self.late);
            }
        }
        pulse
    }

    /// Time goes on to `now` without a step.
    fn advance_to(&mut self, now: u64) {
        let passed = now - self.now;
        self.now = now;
        let now = now as u32;
        // What lasts longer than the low bits can say is long ago for all.
        let long = passed > u64::from(LONG_AGO);
        for line in &mut self.lines {
            if long || now.wrapping_sub(line.made) > LONG_AGO {
                line.made = now.wrapping_sub(LONG_AGO);
            }
        }
    }
}

impl Line {
    #[inline]
    fn begin(&mut self, steps: &Steps, base: u32, now: u32, timing: Timing, late: &mut Lateness) {
        let gap = if self.forward == steps.forward {
            timing.same_way
        } else {
            timing.other_way
        };
        let ideal = base.wrapping_add(steps.first).wrapping_sub(now) as i32;
        let earliest = self.made.wrapping_add(gap).wrapping_sub(now) as i32;
        self.times = steps.times;
        self.left = steps.count;
        self.forward = steps.forward;
        self.due = now.wrapping_add(put_off(ideal, earliest.max(0), late) as u32);
    }

    #[inline]
    fn step(&mut self, base: u32, now: u32, timing: Timing, late: &mut Lateness) {
        self.position += if self.forward { 1 } else { -1 };
        self.made = now;
        self.left -= 1;
        if self.left > 0 {
            let ideal = base.wrapping_add(self.times.advance()).wrapping_sub(now) as i32;
            self.due = now.wrapping_add(put_off(ideal, timing.same_way as i32, late) as u32);
        }
    }
}

/// The later of two times; what is late by more than a tick is counted. (A tick is what rounding
/// does where ramps meet, or steps come as fast as may be.)
#[inline]
fn put_off(ideal: i32, earliest: i32, late: &mut Lateness) -> i32 {
    if earliest <= ideal {
        return ideal;
    }
    if earliest - ideal > 1 {
        late.count((earliest - ideal) as u32);
    }
    earliest
}
