//! The checker of step pulses: clean pulses pass every check, and every check can fail.

mod clean;
mod machines;
mod maker;
mod faults;
mod rules;
mod property;
mod speed;
