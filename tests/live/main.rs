//! What an operator does during a job: hold, resume, override, end, jog, cut. Moves that end at a contact, and
//! backlash.

mod backlash;
mod bench;
mod gantry;
mod holds;
mod homing;
mod jogs;
mod overrides;
mod probing;
mod random;
mod rig;
mod squaring;
mod states;
mod take_ups;
