//! A motion planner for CNC routers: straight moves in, exact step pulses out.
//!
//! `no_std`, no allocation, no `unsafe`. The main loop owns a [`Planner`], pushes moves (arcs come
//! as the chords of an [`Arc`]), and has a [`TrainMaker`] turn its [`Ramp`]s into [`PulseTrain`]s for
//! a queue of `heapless::spsc`; the timer interrupt owns a [`PulseGenerator`], which takes trains from
//! that queue and says at which tick which axes step.
//!
//! Units are mm, mm/s, mm/s² and s, and ticks of the step timer where a name says so.
//!
//! Features: `defmt` gives every public type but those that hold pins a `Format`, and logs what
//! happens to a plan (moves refused, begun and braked, rests); `embedded-hal` adds `pins`; `std` is for
//! a host, which is quicker with it and plans the same.
#![no_std]
#![forbid(unsafe_code)]

#[cfg(any(test, feature = "std"))]
extern crate std;

mod arc;
mod axis;
mod backlash;
mod bend;
mod brake_map;
mod braking;
mod coordinate;
mod corner;
mod course;
mod cuts;
mod events;
mod generator;
mod junction;
mod look_ahead;
mod machine;
mod math;
mod moves;
mod outlook;
mod pace;
#[cfg(feature = "embedded-hal")]
pub mod pins;
mod plan_error;
mod planner;
mod pulse;
mod pulse_train;
mod ramp;
#[cfg(test)]
mod random;
mod reason;
mod request;
mod scale;
mod seek;
mod shape;
mod speed_caps;
mod stamp;
#[cfg(test)]
mod test_machine;
mod thin;
mod track;
mod train_maker;
mod trapezoid;
mod travel;
mod turn;
mod vector;

pub use arc::{Arc, ArcError, Turn};
pub use axis::{Axis, Fault, Quantity};
pub use backlash::{Backlash, BacklashError, Drive, Taken};
pub use coordinate::{Coordinate, Point};
pub use generator::{PulseGenerator, TrainSource};
pub use look_ahead::LookAhead;
pub use machine::{Controller, Machine, MachineError};
pub use moves::{MoveFacts, PlannedMove};
pub use plan_error::PlanError;
pub use planner::Planner;
pub use pulse::{Event, Lateness, Pulse};
pub use pulse_train::PulseTrain;
pub use ramp::Ramp;
pub use reason::{Limit, LowPoint};
pub use request::{Request, RequestError, State};
pub use seek::{
    Approach, Homing, HomingPlan, Level, Probe, ProbePlan, SeekError, SeekQuantity, SetupError,
    Side, SidesSight, SidesTask, Sight, Squaring, Task, Watch,
};
pub use train_maker::TrainMaker;
