//! What an operator does during a job: hold, resume, override, end, jog, cut.

mod caller;
mod holds;
mod jogs;
mod overrides;
mod random;
mod states;
