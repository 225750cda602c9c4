//! From coordinates to steps, without rounding that shows.

use crate::coordinate::{Coordinate, Point};
use crate::machine::Machine;
use crate::vector::pairwise;

/// Steps in one count of each axis, in 2⁻⁶⁴ of a step.
///
/// At the far end of the range, 2³¹ counts, the rounding of this number adds up to 2⁻³⁴ step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Scale<const N: usize>([u64; N]);

impl<const N: usize> Scale<N> {
    pub fn new(machine: &Machine<N>) -> Self {
        // 20 000 steps/mm is below 0.16 steps a count, so that 2⁶⁴ times it fits.
        const TWO_64: f64 = 18_446_744_073_709_551_616.0;
        let per_mm = f64::from(Coordinate::PER_MM);
        Self(core::array::from_fn(|i| {
            (machine.axes()[i].steps_per_mm * (TWO_64 / per_mm) + 0.5) as u64
        }))
    }

    /// The position in 2⁻³² of a step.
    pub fn steps(&self, point: &Point<N>) -> [i64; N] {
        pairwise(point, &self.0, |coordinate, scale| {
            let exact = i128::from(coordinate.counts()) * i128::from(scale);
            ((exact + (1 << 31)) >> 32) as i64
        })
    }

    /// The coordinate nearest to a position in 2⁻³² of a step.
    pub fn point(&self, steps: &[i64; N]) -> Point<N> {
        // In double precision to 2⁻²⁰ of a count, anywhere.
        const TWO_32: f64 = 4_294_967_296.0;
        pairwise(steps, &self.0, |steps, scale| {
            Coordinate::nearest(steps as f64 * TWO_32 / scale as f64)
        })
    }
}
