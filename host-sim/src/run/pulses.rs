//! The pulses of a run, or none where the plan alone is asked for.

use super::{RunError, Sink};
use crate::motion::AXES;
use spokeshave::{Event, PulseGenerator, Ramp};

/// What becomes of a ramp once it is planned.
pub(super) trait Pulses {
    /// Makes the pulses of `ramp` and tells `sink`.
    fn make(&mut self, ramp: Ramp<AXES>, sink: &mut impl Sink) -> Result<(), RunError>;
}

impl Pulses for PulseGenerator<AXES> {
    fn make(&mut self, ramp: Ramp<AXES>, sink: &mut impl Sink) -> Result<(), RunError> {
        let mut next = Some(ramp);
        let mut source = || next.take();
        loop {
            match self.next_event(&mut source) {
                Event::Pulse(pulse) => sink
                    .pulse(pulse.tick, std::array::from_fn(|i| pulse.step(i)))
                    .map_err(RunError::Sink)?,
                Event::Wait(_) => {}
                Event::Idle => return Ok(()),
            }
        }
    }
}

/// Makes none.
pub(super) struct NoPulses;

impl Pulses for NoPulses {
    fn make(&mut self, _: Ramp<AXES>, _: &mut impl Sink) -> Result<(), RunError> {
        Ok(())
    }
}
