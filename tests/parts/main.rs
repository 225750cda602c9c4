//! The parts behind an axis: sizes by their standards, screws, belts and racks, motors and loads,
//! against text books, tables, and a general solver.

mod column;
mod force;
mod motion;
mod motor;
mod never_panics;
mod refused;
mod screw;
mod sizes;
mod support;
mod units;
