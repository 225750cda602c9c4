//! The checker, and the two files of the host tool that it needs. That this builds shows that it needs no
//! more: nothing of the planner.

#[path = "../../../host-sim/src/check/mod.rs"]
pub mod check;
#[path = "../../../host-sim/src/machine.rs"]
pub mod machine;
#[path = "../../../host-sim/src/motion.rs"]
pub mod motion;
