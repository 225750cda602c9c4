//! The pulse generator: ramps in, step pulses out. It runs in the timer interrupt.

use crate::coordinate::Point;
use crate::machine::{Machine, Timing};
use crate::ramp::Ramp;
use crate::scale::Scale;
use crate::shape::Shape;
use crate::track::{NEVER, Track};
use heapless::spsc::Consumer;

/// At `tick`, step these axes in these directions.
///
/// ```
/// use spokeshave::Pulse;
/// let pulse = Pulse { tick: 1200, steps: 0b101, forward: 0b001 };
/// assert_eq!([pulse.step(0), pulse.step(1), pulse.step(2)], [1, 0, -1]);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Pulse {
    /// Tick of the step timer, counted from the start.
    pub tick: u64,
    /// Axes that step, bit 0 for the first.
    pub steps: u8,
    /// Of those, the ones whose position grows.
    pub forward: u8,
}

impl Pulse {
    /// -1, 0 or 1: the step of axis `axis` (0 is the first).
    pub fn step(&self, axis: usize) -> i8 {
        let bit = |mask: u8| (mask >> axis) & 1;
        let sign = 2 * bit(self.forward) as i8 - 1;
        bit(self.steps) as i8 * sign
    }
}

/// What the timer interrupt does next.
///
/// ```
/// use spokeshave::{Event, Pulse};
/// let next = |event| match event {
///     Event::Pulse(Pulse { tick, .. }) | Event::Wait(tick) => Some(tick), // arm the timer
///     Event::Idle => None, // stop it until ramps come
/// };
/// assert_eq!(next(Event::Wait(500)), Some(500));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Event {
    /// Make this pulse at its tick.
    Pulse(Pulse),
    /// Nothing before this tick; ask again then.
    Wait(u64),
    /// No ramp is queued: all steps are made. Ask again when there is one.
    Idle,
}

/// Where the generator takes its ramps from.
pub trait RampSource<const N: usize> {
    /// The next ramp, if there is one.
    fn take_ramp(&mut self) -> Option<Ramp<N>>;
}

impl<const N: usize> RampSource<N> for Consumer<'_, Ramp<N>> {
    fn take_ramp(&mut self) -> Option<Ramp<N>> {
        self.dequeue()
    }
}

impl<const N: usize, F: FnMut() -> Option<Ramp<N>>> RampSource<N> for F {
    fn take_ramp(&mut self) -> Option<Ramp<N>> {
        self()
    }
}

/// Steps that came later than the plan asked, because the driver's minimum times were kept.
///
/// ```
/// use spokeshave::Lateness;
/// // Worth a word to the user: the machine is not as fast as its file says.
/// assert_eq!(Lateness::default(), Lateness { steps: 0, worst: 0 });
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Lateness {
    /// How many steps.
    pub steps: u32,
    /// The worst, ticks.
    pub worst: u64,
}

/// Times every step of `N` axes.
///
/// An axis steps where its ideal position crosses half-way between two step positions; after
/// turning back, 1/16 step further, so that a turn right at a half-way point makes no pair of
/// steps for nothing. Each step lies within one tick of its crossing in the plan.
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
/// let mut pulses = PulseGenerator::new(&machine, [Coordinate::ZERO]);
/// planner.line([Coordinate::from_mm(1.0).unwrap()], Some(20.0), 0)?;
/// let mut count = 0;
/// while let Event::Pulse(_) = pulses.next_event(&mut || planner.next_ramp()) {
///     count += 1;
/// }
/// assert_eq!((count, pulses.position()), (100, [100]));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct PulseGenerator<const N: usize> {
    tracks: [Track; N],
    timing: Timing,
    shape: Shape,
    /// Start of the current ramp: tick, and 2⁻³² of a tick.
    tick: u64,
    fraction: u32,
    /// How long the current ramp lasts, 2⁻³² of a tick.
    duration: u64,
    last: u64,
    late: Lateness,
}

/// Ramps without a step that are passed over in one call, so that an interrupt stays short.
const MOST_EMPTY_RAMPS: usize = 4;

impl<const N: usize> PulseGenerator<N> {
    /// A generator at rest at `start`, at tick 0.
    pub fn new(machine: &Machine<N>, start: Point<N>) -> Self {
        Self {
            tracks: Scale::new(machine).steps(&start).map(Track::new),
            timing: machine.timing(),
            shape: Shape::default(),
            tick: 0,
            fraction: 0,
            duration: 0,
            last: 0,
            late: Lateness::default(),
        }
    }

    /// Step position of each axis, counted from the machine's zero.
    pub fn position(&self) -> [i32; N] {
        core::array::from_fn(|i| self.tracks[i].step())
    }

    /// Steps that came late so far.
    pub fn lateness(&self) -> Lateness {
        self.late
    }

    /// The tick at which the ramps taken so far end.
    pub fn end_tick(&self) -> u64 {
        self.end().0
    }

    /// After [`Event::Idle`]: ramps taken from now on begin at `now`, or where the last one ended
    /// if that is later.
    pub fn start_at(&mut self, now: u64) {
        if self.first_due().is_none() && now > self.end().0 {
            (self.tick, self.fraction, self.duration) = (now, 0, 0);
        }
    }

    fn end(&self) -> (u64, u32) {
        let sum = u64::from(self.fraction) + self.duration;
        (self.tick + (sum >> 32), sum as u32)
    }

    /// What to do next. Takes ramps from `source` as they are needed.
    #[inline]
    pub fn next_event(&mut self, source: &mut impl RampSource<N>) -> Event {
        for _ in 0..MOST_EMPTY_RAMPS {
            if let Some(tick) = self.first_due() {
                return Event::Pulse(self.step_at(tick));
            }
            let Some(ramp) = source.take_ramp() else {
                return Event::Idle;
            };
            self.begin(&ramp);
        }
        match self.first_due() {
            Some(tick) => Event::Pulse(self.step_at(tick)),
            None => Event::Wait(self.tick),
        }
    }

    #[inline]
    fn first_due(&self) -> Option<u64> {
        let first = self.tracks.iter().fold(NEVER, |first, t| first.min(t.due));
        (first != NEVER).then_some(first)
    }

    fn begin(&mut self, ramp: &Ramp<N>) {
        (self.tick, self.fraction) = self.end();
        self.duration = ramp.duration;
        let shape = Shape::new(
            ramp.entry_speed,
            ramp.exit_speed,
            ramp.duration,
            self.fraction,
        );
        self.shape = shape;
        for i in 0..N {
            if self.tracks[i].begin(ramp.steps[i], &shape) {
                self.time(i);
            }
        }
    }

    #[inline]
    fn step_at(&mut self, tick: u64) -> Pulse {
        let mut pulse = Pulse {
            tick,
            steps: 0,
            forward: 0,
        };
        self.last = tick;
        for i in 0..N {
            if self.tracks[i].due == tick {
                pulse.steps |= 1 << i;
                pulse.forward |= u8::from(self.tracks[i].take()) << i;
                self.time(i);
            }
        }
        pulse
    }

    /// Sets when the next step of axis `i` in this ramp is due, if it has one.
    #[inline]
    fn time(&mut self, i: usize) {
        let track = &mut self.tracks[i];
        let Some(ticks) = track.advance(&self.shape) else {
            return;
        };
        let ideal = self.tick + u64::from(ticks);
        let due = ideal.max(track.earliest(self.timing)).max(self.last);
        track.due = due;
        // A tick is what rounding does where ramps meet, or steps come as fast as may be.
        if due > ideal + 1 {
            self.count_late(due - ideal);
        }
    }

    #[cold]
    fn count_late(&mut self, ticks: u64) {
        self.late.steps = self.late.steps.saturating_add(1);
        self.late.worst = self.late.worst.max(ticks);
    }
}
