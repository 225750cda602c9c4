//! The planner against sources outside the project; each is named beside its check.

mod circular;
mod intervals;
mod optimum;
mod trapezoid;
