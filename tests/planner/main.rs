//! The planner against its own promises: random machines, random moves, hostile numbers.

mod arcs;
#[cfg(feature = "host")]
mod endurance;
#[cfg(feature = "host")]
mod extremes;
mod lookahead;
mod machines;
mod pulses;
mod queue;
mod ramps;
mod random;
mod reasons;
mod starts;
