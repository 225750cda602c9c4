//! Machines, jobs and settings at the ends of what is allowed: each refused for the true reason, or
//! right to the step and the tick.

mod curves;
mod far;
mod feeds;
mod fine_starts;
mod judge;
mod machines;
mod one_axis;
mod random;
mod three_axes;
mod tiny_moves;
