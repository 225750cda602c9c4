//! The planner against its own promises: random machines, random moves, hostile numbers.

mod arcs;
mod endurance;
mod extremes;
mod lookahead;
mod machines;
mod pulses;
mod queue;
mod ramps;
mod random;
mod reasons;
mod starts;
