//! The planner against its own promises: random machines, random moves, hostile numbers.

mod lookahead;
mod pulses;
mod ramps;
mod random;
