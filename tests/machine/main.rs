//! Machine files and quantities: what is read, and what is refused where.

mod demo;
mod drives;
mod never_panics;
mod quantities;
mod refused;
mod refused_together;
mod refused_values;
mod settings;
mod units;

/// A good machine file, for the tests that change one thing in it.
const GOOD: &str = include_str!("good.toml");
