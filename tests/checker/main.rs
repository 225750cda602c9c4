//! The checker of step pulses: clean pulses pass every check, and every check can fail.

mod beside_stops;
mod bursts;
mod clean;
mod curves;
mod doubt;
mod faults;
mod machines;
mod maker;
mod property;
mod rules;
mod sentences;
mod speed;
mod speeds;
