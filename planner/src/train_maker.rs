//! Ramps in, pulse trains out. It runs in the main loop, and leaves only additions to the interrupt.

use crate::coordinate::Point;
use crate::cuts::Cuts;
use crate::machine::Machine;
use crate::pulse_train::{PulseTrain, Steps};
use crate::ramp::Ramp;
use crate::scale::Scale;
use crate::shape::Shape;
use crate::track::Track;

/// Works out when each step of `N` axes is due, and cuts ramps into trains short enough that the
/// times of an axis are a cubic of the number of the step, to 1/8 of a tick.
///
/// ```
/// use heapless::spsc::Queue;
/// use spokeshave::*;
/// # let controller = Controller {
/// #     timer_hz: 1_000_000, pulse_width: 2e-6, pulse_period: 5e-6, direction_setup: 5e-6,
/// #     ramp_time: 0.01,
/// # };
/// # let axis = Axis { steps_per_mm: 100.0, speed_limit: 100.0, acceleration_limit: 500.0 };
/// let machine = Machine::new([axis], controller, 0.02)?;
/// let start = [Coordinate::ZERO];
/// let mut planner: Planner<1, 8> = Planner::new(machine, start);
/// let mut trains = TrainMaker::new(&machine, start);
/// planner.line([Coordinate::from_mm(1.0).unwrap()], Some(20.0), 0)?;
/// // As a main loop does: while the queue has room, one train more.
/// let mut queue: Queue<PulseTrain<1>, 5> = Queue::new();
/// let (mut to_interrupt, _) = queue.split();
/// while to_interrupt.ready()
///     && let Some(train) = trains.next_train(&mut || planner.next_ramp())
/// {
///     let _ = to_interrupt.enqueue(train); // There is room.
/// }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct TrainMaker<const N: usize> {
    tracks: [Track; N],
    shape: Shape,
    cuts: Cuts,
    /// A ramp is being cut.
    cutting: bool,
    /// How long it lasts, 2⁻³² of a tick, and where in a tick it begins.
    duration: u64,
    fraction: u32,
    /// Ticks since the tick that the last train counts from.
    lead: u32,
    /// A lead of so many ticks is a train of its own, without steps.
    longest_lead: u32,
}

impl<const N: usize> TrainMaker<N> {
    /// At rest at `start`.
    pub fn new(machine: &Machine<N>, start: Point<N>) -> Self {
        let controller = machine.controller();
        Self {
            tracks: Scale::new(machine).steps(&start).map(Track::new),
            shape: Shape::new(0.0, 0.0, 0, 0),
            cuts: Cuts::NONE,
            cutting: false,
            duration: 0,
            fraction: 0,
            lead: 0,
            longest_lead: (0.25 * controller.ramp_time * controller.timer_hz as f32) as u32,
        }
    }

    /// The machine rests at `position`, in 2⁻³² of a step
    /// ([`Planner::position`](crate::Planner::position)), and what is left of a ramp is dropped: after a
    /// cut, and after homing.
    pub fn place(&mut self, position: [i64; N]) {
        self.tracks = position.map(Track::new);
        self.cutting = false;
        self.fraction = 0;
        self.lead = 0;
    }

    /// The next train, of the ramp that is being cut or of the next that `ramps` gives; `None` where
    /// it gives none and nothing is left.
    ///
    /// A train takes at most 5/4 of the longest ramp: ramps without steps are put before the next
    /// that has some, up to 1/4 of that time.
    pub fn next_train(
        &mut self,
        ramps: &mut impl FnMut() -> Option<Ramp<N>>,
    ) -> Option<PulseTrain<N>> {
        loop {
            if let Some(train) = self.next_of_ramp() {
                return Some(train);
            }
            let Some(ramp) = ramps() else {
                return (self.lead > 0).then(|| self.train([Steps::default(); N]));
            };
            if let Some(train) = self.begin(&ramp) {
                return Some(train);
            }
        }
    }

    /// Hands all trains of `ramp` to `take`. Time without a step at its end goes into the next train:
    /// where none will come, [`next_train`](Self::next_train) gives a last one without steps.
    pub fn trains_of(&mut self, ramp: &Ramp<N>, mut take: impl FnMut(PulseTrain<N>)) {
        while let Some(train) = self.next_of_ramp() {
            take(train);
        }
        if let Some(train) = self.begin(ramp) {
            take(train);
        }
        while let Some(train) = self.next_of_ramp() {
            take(train);
        }
    }

    /// The next train of the ramp that is being cut.
    fn next_of_ramp(&mut self) -> Option<PulseTrain<N>> {
        while self.cutting {
            if let Some(train) = self.cut() {
                return Some(train);
            }
        }
        None
    }

    /// Begins a ramp. Where it has no step, and there was none for long, that is a train of its own.
    fn begin(&mut self, ramp: &Ramp<N>) -> Option<PulseTrain<N>> {
        let mut most = 0;
        for (track, length) in self.tracks.iter_mut().zip(ramp.steps) {
            most = most.max(track.begin(length));
        }
        self.duration = ramp.duration;
        if most == 0 {
            self.end();
            let long = self.lead > self.longest_lead;
            return long.then(|| self.train([Steps::default(); N]));
        }
        let (entry, exit) = (ramp.entry_speed, ramp.exit_speed);
        self.shape = Shape::new(entry, exit, ramp.duration, self.fraction);
        self.cuts = Cuts::new(&self.shape, most);
        self.cutting = true;
        None
    }

    /// The next train of the ramp, `None` where it has no step left.
    fn cut(&mut self) -> Option<PulseTrain<N>> {
        let up_to = self.cuts.next(&self.shape);
        let mut steps = [Steps::default(); N];
        let (mut taken, mut left) = (0, 0);
        for (steps, track) in steps.iter_mut().zip(&mut self.tracks) {
            let count = match up_to {
                Some(u) => track.steps_up_to(u),
                None => track.left(),
            };
            *steps = track.take(count, &self.shape);
            taken += count;
            left |= track.left();
        }
        let train = (taken > 0).then(|| self.train(steps));
        if left == 0 {
            self.end();
        }
        train
    }

    fn train(&mut self, steps: [Steps; N]) -> PulseTrain<N> {
        let grew = |i: usize| u8::from(self.tracks[i].grew()) << i;
        PulseTrain {
            steps,
            forward: (0..N).fold(0, |mask, i| mask | grew(i)),
            lead: core::mem::take(&mut self.lead),
        }
    }

    /// The ramp is cut.
    fn end(&mut self) {
        let end = u64::from(self.fraction) + self.duration;
        self.fraction = end as u32;
        self.lead += (end >> 32) as u32;
        self.cutting = false;
    }
}

#[cfg(test)]
mod tests;
