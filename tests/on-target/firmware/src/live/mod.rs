//! A whole firmware at work: main loop, planning and timer interrupt, each at its priority, with
//! step and direction lines whose edges are written out as a capture.

pub mod clock;
pub mod lines;
pub mod moves;
pub mod planning;
pub mod stepping;
