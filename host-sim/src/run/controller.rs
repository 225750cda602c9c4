//! The planner behind the run: its machine, and its queue in the size that the machine file asks.

use crate::machine::Machine;
use crate::motion::AXES;
use spokeshave::{
    Axis, Backlash, Controller, MachineError, PlanError, Planner, Ramp, Request, RequestError,
    State, Taken,
};
use std::error::Error;

/// Longest ramp, s: fine enough to read a plot, and what [`spokeshave::Controller`] suggests.
pub(super) const RAMP_TIME_S: f32 = 0.01;

/// The longest queue that can be planned with, moves.
pub const DEEPEST_QUEUE: usize = 16_384;

type Target = spokeshave::Point<AXES>;

/// The planner, whatever its capacity: a constant of its type, but a number in the machine file.
pub(super) trait Plan {
    fn line(&mut self, to: Target, feed: Option<f32>, tag: u32) -> Result<Taken<AXES>, PlanError>;
    fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError>;
    fn stop(&mut self);
    fn next_ramp(&mut self) -> Option<Ramp<AXES>>;
    fn is_full(&self) -> bool;
    fn end(&self) -> Target;
    fn prepare_override(&mut self, headroom: f32) -> Result<(), RequestError>;
    fn request(&mut self, request: Request) -> Result<(), RequestError>;
    fn state(&self) -> State;
}

/// A planner, and what stands before it where axes have backlash.
struct Planning<const Q: usize> {
    planner: Planner<AXES, Q>,
    backlash: Option<Backlash<AXES>>,
}

impl<const Q: usize> Plan for Planning<Q> {
    fn line(&mut self, to: Target, feed: Option<f32>, tag: u32) -> Result<Taken<AXES>, PlanError> {
        match &mut self.backlash {
            Some(backlash) => backlash.line(&mut self.planner, to, feed, tag),
            None => Ok(Taken {
                take_up: None,
                facts: self.planner.line(to, feed, tag)?,
            }),
        }
    }
    fn rest(&mut self, seconds: f32, tag: u32) -> Result<(), PlanError> {
        self.planner.rest(seconds, tag)
    }
    fn stop(&mut self) {
        self.planner.stop();
    }
    fn next_ramp(&mut self) -> Option<Ramp<AXES>> {
        match &mut self.backlash {
            Some(backlash) => backlash.next_ramp(&mut self.planner),
            None => self.planner.next_ramp(),
        }
    }
    fn is_full(&self) -> bool {
        self.planner.is_full()
    }
    fn end(&self) -> Target {
        self.planner.end()
    }
    fn prepare_override(&mut self, headroom: f32) -> Result<(), RequestError> {
        self.planner.prepare_override(headroom)
    }
    fn request(&mut self, request: Request) -> Result<(), RequestError> {
        self.planner.request(request)
    }
    fn state(&self) -> State {
        self.planner.state()
    }
}

/// A planner at rest at `start` that looks ahead over `depth` moves. The capacity is a constant of
/// the type; three of them serve every depth without holding much more than is needed.
///
/// # Errors
/// [`PlanError::Depth`] where no capacity holds the depth, and a backlash out of its range.
pub(super) fn plan(
    machine: spokeshave::Machine<AXES>,
    start: Target,
    depth: usize,
    backlash_mm: [f64; AXES],
) -> Result<Box<dyn Plan>, Box<dyn Error + Send + Sync>> {
    let amounts = backlash_mm.map(|mm| mm as f32);
    let backlash = if amounts == [0.0; AXES] {
        None
    } else {
        Some(Backlash::new(&machine, start, amounts)?)
    };
    match depth {
        0..=64 => sized::<64>(machine, start, depth, backlash),
        65..=1024 => sized::<1024>(machine, start, depth, backlash),
        1025..=DEEPEST_QUEUE => sized::<DEEPEST_QUEUE>(machine, start, depth, backlash),
        _ => Err(PlanError::Depth.into()),
    }
}

// Each capacity by itself: else the shortest queue, too, takes the 2 MB of stack of the longest.
#[inline(never)]
fn sized<const Q: usize>(
    machine: spokeshave::Machine<AXES>,
    start: Target,
    depth: usize,
    backlash: Option<Backlash<AXES>>,
) -> Result<Box<dyn Plan>, Box<dyn Error + Send + Sync>> {
    let mut planning = Box::new(Planning {
        planner: Planner::<AXES, Q>::new(machine, start),
        backlash,
    });
    planning.planner.limit_depth(depth)?;
    Ok(planning)
}

/// What a planner of `queue` moves takes in memory, bytes, as compiled for this computer, and so to
/// a few bytes for a microcontroller: its numbers are of the same sizes on both.
pub fn queue_bytes(queue: usize) -> usize {
    // Of all that a planner holds, only its queue grows with its capacity, by the same for each move.
    let (few, many) = (
        size_of::<Planner<AXES, 32>>(),
        size_of::<Planner<AXES, 1056>>(),
    );
    let each = (many - few) / 1024;
    few - 32 * each + queue * each
}

/// The planner's description of the machine.
pub(super) fn machine(machine: &Machine) -> Result<spokeshave::Machine<AXES>, MachineError> {
    let axes = machine.axes.map(|axis| Axis {
        steps_per_mm: axis.steps_per_mm,
        speed_limit: axis.speed_limit_mm_s as f32,
        acceleration_limit: axis.acceleration_limit_mm_s2 as f32,
    });
    let controller = Controller {
        timer_hz: machine.controller.timer_hz,
        pulse_width: machine.controller.pulse_width_s as f32,
        pulse_period: machine.controller.pulse_period_s as f32,
        direction_setup: machine.controller.direction_setup_s as f32,
        ramp_time: RAMP_TIME_S,
    };
    spokeshave::Machine::new(axes, controller, machine.junction_deviation_mm as f32)
}
