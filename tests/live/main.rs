//! What an operator does during a job: hold, resume, override, end, jog, cut.

mod backlash;
mod caller;
mod holds;
mod homing;
mod jogs;
mod overrides;
mod random;
mod squaring;
mod states;
