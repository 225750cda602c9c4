//! What a jobs file may say, in numbers. Chosen for a home shop and widened a good deal; beyond it a
//! value is far more likely a slip of a unit or of a decimal.

use crate::quantity::Kind;
use crate::toml_file::bounds::{Bounds, bounds};
use std::ops::RangeInclusive;

pub(super) const YEARS: Bounds = bounds(Kind::Years, 0.1, 50.0, "0.1 to 50 years");
/// Of a set-up, and of work by hand on one part.
pub(super) const WORK: Bounds = bounds(Kind::Duration, 0.0, 3.6e6, "0 min to 1 000 h");
/// Of material along an axis. The planner keeps positions within ±10 m.
pub(super) const MATERIAL: Bounds = bounds(Kind::Length, 0.01, 10e3, "0.01 mm to 10 m");

pub(super) const PARTS_A_YEAR: RangeInclusive<u32> = 1..=1_000_000;
pub(super) const PARTS_PER_SET_UP: RangeInclusive<u32> = 1..=10_000;

/// Of a price, and of what an hour is worth or costs. Currencies differ by a factor of ten thousand or
/// so in what a unit of them buys.
pub(super) const MOST_PRICE: f64 = 1e9;
pub(super) const MOST_AN_HOUR: f64 = 1e7;

/// Machines and jobs: more than this no table shows.
pub(super) const MOST_MACHINES: usize = 8;
pub(super) const MOST_JOBS: usize = 100;
/// Programs of one job.
pub(super) const MOST_PROGRAMS: usize = 20;
/// Characters of the word for the currency.
pub(super) const LONGEST_CURRENCY: usize = 12;
