//! Jobs that run on a host and on a microcontroller alike: the first moves of real part programs,
//! in a table that fits into flash.
#![no_std]
#![forbid(unsafe_code)]

mod edge;
mod feeder;
mod plan;
mod pulses;
mod record;
mod tally;

pub use edge::{COUNTS_PER_SECOND, Edge, LINES};
pub use feeder::{Feeder, Refused};
pub use plan::{AtRest, Plan};
pub use pulses::{Pulses, next_train};
pub use record::{Head, Record};
pub use tally::Tally;

/// Axes of all jobs.
pub const AXES: usize = 3;
/// Moves that all jobs look ahead, as the budgets say.
pub const LOOK_AHEAD: usize = 32;

/// The planner of all jobs.
pub type Planner = spokeshave::Planner<AXES, LOOK_AHEAD>;
/// Its look-ahead alone.
pub type LookAhead = spokeshave::LookAhead<AXES, LOOK_AHEAD>;
/// What makes pulse trains of the ramps of all jobs.
pub type TrainMaker = spokeshave::TrainMaker<AXES>;
/// The pulse generator of all jobs.
pub type Generator = spokeshave::PulseGenerator<AXES>;
