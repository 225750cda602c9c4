//! The pulses of a run, or none where the plan alone is asked for.

use super::{RunError, Sink};
use crate::motion::AXES;
use spokeshave::{Event, Lateness, Machine, Point, PulseGenerator, Ramp, TrainMaker};

/// What becomes of a ramp once it is planned.
pub(super) trait Pulses {
    /// Makes the pulses of `ramp` and tells `sink`.
    fn make(&mut self, ramp: Ramp<AXES>, sink: &mut impl Sink) -> Result<(), RunError>;
    /// Looks where the motors stand at this tick.
    fn watch(&mut self, tick: u64);
    /// Where they stood at the tick that was watched, steps.
    fn watched(&self) -> Option<[i32; AXES]>;
}

/// Makes pulses as a firmware does, in one thread.
pub(super) struct Steps {
    trains: TrainMaker<AXES>,
    generator: PulseGenerator<AXES>,
    watched: Option<(u64, [i32; AXES])>,
}

impl Steps {
    /// At rest at `start`.
    pub fn new(machine: &Machine<AXES>, start: Point<AXES>) -> Self {
        Self {
            trains: TrainMaker::new(machine, start),
            generator: PulseGenerator::new(machine, start),
            watched: None,
        }
    }

    /// Steps that came late, and where each axis stands.
    pub fn end(&self) -> (Lateness, [i32; AXES]) {
        (self.generator.lateness(), self.generator.position())
    }
}

impl Pulses for Steps {
    fn make(&mut self, ramp: Ramp<AXES>, sink: &mut impl Sink) -> Result<(), RunError> {
        let mut told = Ok(());
        self.trains.trains_of(&ramp, |train| {
            let mut next = Some(train);
            while told.is_ok() {
                match self.generator.next_event(&mut || next.take()) {
                    Event::Pulse(pulse) => {
                        if let Some((tick, stands)) = &mut self.watched
                            && pulse.tick <= *tick
                        {
                            *stands = self.generator.position();
                        }
                        told = sink.pulse(pulse.tick, std::array::from_fn(|i| pulse.step(i)));
                    }
                    Event::Wait(_) => {}
                    Event::Idle => break,
                }
            }
        });
        told.map_err(RunError::Sink)
    }

    fn watch(&mut self, tick: u64) {
        self.watched = Some((tick, self.generator.position()));
    }

    fn watched(&self) -> Option<[i32; AXES]> {
        self.watched.map(|(_, stands)| stands)
    }
}

/// Makes none.
pub(super) struct NoPulses;

impl Pulses for NoPulses {
    fn make(&mut self, _: Ramp<AXES>, _: &mut impl Sink) -> Result<(), RunError> {
        Ok(())
    }

    fn watch(&mut self, _: u64) {}

    fn watched(&self) -> Option<[i32; AXES]> {
        None
    }
}
